"""Folders and revisions; git is run for real, in repositories made here."""

import shutil
import subprocess

import pytest

from faultnet.review.compare.version import NoVersionError, opened
from tests.review.compare.conftest import SMALL


def git(folder, *arguments):
    who = ("-c", "user.name=Author", "-c", "user.email=author@orquay.invalid")
    safe = ("-c", "commit.gpgsign=false", "-c", "init.defaultBranch=main")
    program = shutil.which("git")
    assert program
    subprocess.run(
        [program, "-C", folder, *who, *safe, *arguments], check=True, capture_output=True
    )


@pytest.fixture
def kept(tmp_path, monkeypatch):
    """A folder of knowledge in a repository, with an older revision."""
    for name in ("GIT_DIR", "GIT_WORK_TREE", "GIT_INDEX_FILE"):
        monkeypatch.delenv(name, raising=False)
    top = tmp_path / "repository"
    shutil.copytree(SMALL, top / "pumps" / "knowledge")
    git(tmp_path, "init", "--quiet", top)
    git(top, "add", "--all")
    git(top, "commit", "--quiet", "--message", "first")
    part = top / "pumps" / "knowledge" / "parts" / "suction.yaml"
    part.write_text(part.read_text().replace("how-common: rare", "how-common: 0.03"))
    git(top, "commit", "--quiet", "--all", "--message", "second")
    return top / "pumps" / "knowledge"


def files(folder):
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def test_a_folder_is_itself(tmp_path):
    with opened(str(tmp_path), None) as version:
        assert (version.name, version.folder) == (str(tmp_path), tmp_path)


def test_a_revision_is_the_folder_as_it_was(kept, monkeypatch):
    monkeypatch.setenv("GIT_DIR", "/nowhere")
    with opened("HEAD~1", kept) as version:
        assert files(version.folder) == files(SMALL)
        assert version.folder.name == "knowledge"
        assert version.name.startswith("HEAD~1 (")
    assert not version.folder.exists()
    with opened("main", kept) as version:
        assert files(version.folder) == files(kept)


@pytest.mark.parametrize("name", ["no-such", "--output=made", "HEAD:pumps", "HEAD~9"])
def test_what_is_neither_is_refused(kept, name):
    with (
        pytest.raises(NoVersionError, match="neither a folder nor a revision") as told,
        opened(name, kept),
    ):
        pass
    assert "git log" in told.value.hint
    assert not list(kept.rglob("made"))


def test_a_folder_outside_of_git_has_no_revisions(tmp_path):
    with pytest.raises(NoVersionError, match="not kept by git"), opened("HEAD", tmp_path):
        pass


def test_without_any_folder_there_is_nothing_to_look_in():
    with pytest.raises(NoVersionError, match="no folder `HEAD`") as told, opened("HEAD", None):
        pass
    assert "--home" in told.value.hint


def test_a_folder_that_was_not_there_then(kept):
    late = kept.parent / "late"
    late.mkdir()
    with pytest.raises(NoVersionError, match="At `HEAD` there is no folder"), opened("HEAD", late):
        pass


def test_a_copy_of_the_newest_alone_says_so(kept, tmp_path):
    top = kept.parents[1]
    git(tmp_path, "clone", "--quiet", "--depth", "1", top.as_uri(), tmp_path / "shallow")
    place = tmp_path / "shallow" / "pumps" / "knowledge"
    with pytest.raises(NoVersionError) as told, opened("HEAD~1", place):
        pass
    assert "--unshallow" in told.value.hint


def test_without_git(kept, monkeypatch):
    monkeypatch.setenv("PATH", "/nowhere")
    with pytest.raises(NoVersionError, match="no git here"), opened("HEAD", kept):
        pass


def test_only_ordinary_files_are_written(kept):
    (kept / "link.yaml").symlink_to("/etc/passwd")
    git(kept, "add", "--all")
    git(kept, "commit", "--quiet", "--message", "a link")
    with opened("HEAD", kept) as version:
        assert "link.yaml" not in {path.name for path in version.folder.rglob("*")}
