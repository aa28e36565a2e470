"""Patches are taken by git and by patch as they are, whatever the bytes."""

import shutil
import subprocess

import pytest

from faultnet.authoring.writing.change import Change
from faultnet.authoring.writing.patch import patch

CHANGES = (
    Change("parts/a.yaml", b"one\ntwo\nthree\n", b"one\n2\nthree\n"),
    Change("parts/b.yaml", b"x\r\ny\r\nz", b"x\r\nY\r\nz"),
    Change("c.yaml", b"last line\nwithout break", b"last line\nwith break\n"),
    Change("learnt/new.yaml", None, "new: entrée\n".encode()),
)


@pytest.fixture
def folder(tmp_path):
    for change in CHANGES:
        if change.before is not None:
            path = tmp_path / change.name
            path.parent.mkdir(exist_ok=True)
            path.write_bytes(change.before)
    return tmp_path


@pytest.mark.parametrize("tool", [["git", "apply", "-"], ["patch", "-p1", "--binary", "-s"]])
def test_taken_as_it_is(folder, tool):
    if shutil.which(tool[0]) is None:
        pytest.skip(f"there is no {tool[0]}")
    subprocess.run(tool, cwd=folder, input=patch(CHANGES), check=True)
    for change in CHANGES:
        assert (folder / change.name).read_bytes() == change.after


def test_nothing_is_no_patch():
    assert patch(()) == b""
