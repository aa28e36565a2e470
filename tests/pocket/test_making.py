"""A pocket as files: whole, in place of an older one, never over anything else."""

import hashlib
import json
import tarfile

import msgspec
import pytest

from faultnet.model.knowledge import Knowledge
from faultnet.pocket.making.core import PARTS, Given, core
from faultnet.pocket.making.edition import Edition, edition_of, packed
from faultnet.pocket.making.fetch import MSGSPEC, PYODIDE
from faultnet.pocket.making.pocket import PAGE, Pocket
from faultnet.pocket.making.trouble import MakingError
from faultnet.pocket.making.written import COMING, write
from tests.pocket.files import serving


def pocket_of(files, version="1"):
    """Return a small pocket of invented files."""
    small = packed(files)
    return Pocket(edition_of(files, small, (version, ""), "0"), {**files, **small})


PLAIN = {"index.html": b"<p>One", "core/python.js": b"run()" * 1000}


def contents(folder):
    return {
        p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()
    }


def test_all_that_is_listed_is_there_with_its_digest(pocket_files):
    edition = msgspec.json.decode((pocket_files / "edition.json").read_bytes(), type=Edition)
    for each in edition.files:
        data = (pocket_files / each.path).read_bytes()
        assert (len(data), hashlib.sha256(data).hexdigest()) == (each.bytes, each.sha256)
    assert edition.paths | {"edition.json"} == contents(pocket_files).keys()


def test_the_page_and_what_thinks_are_in_it(pocket_files):
    names = contents(pocket_files).keys()
    page = {path.relative_to(PAGE).as_posix() for path in PAGE.rglob("*") if path.is_file()}
    core_files = {f"core/{part.name}" for part in PARTS.values()} | {f"core/{MSGSPEC.file}"}
    assert page | core_files | {"rooms.zip", "knowledge.bin"} <= names
    assert not [name for name in names if name.endswith((".map", ".mjs", ".ts"))]


def test_the_knowledge_is_that_of_the_desk(made):
    knowledge = msgspec.msgpack.decode(made.files["knowledge.bin"], type=Knowledge)
    assert knowledge.version == made.edition.knowledge


def test_no_address_leads_elsewhere(made):
    ours = [name for name in made.files if name.endswith((".js", ".html", ".css", ".webmanifest"))]
    for name in ours:
        if not name.startswith("core/"):
            assert b"http://" not in made.files[name].replace(b"http://www.w3.org", b"")
            assert b"https://" not in made.files[name]
            assert b'"/' not in made.files[name].replace(b'"/"', b"")


def test_the_same_pocket_again_changes_nothing(tmp_path):
    write(pocket_of(PLAIN), tmp_path / "cellar")
    again = write(pocket_of(PLAIN), tmp_path / "cellar")
    assert again.changed == 0
    assert again.before == pocket_of(PLAIN).edition


def test_a_newer_one_takes_the_place_and_what_is_gone_is_removed(tmp_path):
    write(pocket_of({**PLAIN, "old/one.js": b"old"}), tmp_path)
    newer = pocket_of({"index.html": b"<p>Two"}, "2")
    assert write(newer, tmp_path).before.knowledge == "1"
    assert contents(tmp_path).keys() == {"index.html", "edition.json"}
    assert not (tmp_path / "old").exists()


def test_what_was_begun_and_broke_off_is_ended(tmp_path):
    write(pocket_of(PLAIN), tmp_path)
    newer = pocket_of({**PLAIN, "more.js": b"more"}, "2")
    (tmp_path / COMING).write_bytes(msgspec.json.encode(newer.edition))
    (tmp_path / "more.js").write_bytes(b"half")
    write(newer, tmp_path)
    assert contents(tmp_path) == {
        **newer.files,
        "edition.json": (tmp_path / "edition.json").read_bytes(),
    }


@pytest.mark.parametrize("name", ["notes.txt", "index.html"])
def test_a_folder_with_other_files_is_left_alone(tmp_path, name):
    (tmp_path / name).write_text("mine")
    with pytest.raises(MakingError, match="no pocket"):
        write(pocket_of(PLAIN), tmp_path)
    assert contents(tmp_path) == {name: b"mine"}


def test_a_file_of_somebody_else_is_not_written_over(tmp_path):
    write(pocket_of(PLAIN), tmp_path)
    (tmp_path / "more.js").write_text("mine")
    before = contents(tmp_path)
    with pytest.raises(MakingError, match=r"more\.js"):
        write(pocket_of({**PLAIN, "more.js": b"more"}), tmp_path)
    assert contents(tmp_path) == before


def test_a_list_that_names_files_elsewhere_is_no_pocket(tmp_path):
    (tmp_path / "mine").write_text("mine")
    folder = tmp_path / "cellar"
    folder.mkdir()
    foreign = pocket_of({"../mine": b"mine"}).edition
    (folder / "edition.json").write_bytes(msgspec.json.encode(foreign))
    with pytest.raises(MakingError, match="no pocket"):
        write(pocket_of(PLAIN), folder)
    assert (tmp_path / "mine").read_text() == "mine"


def test_a_file_in_place_of_the_folder_is_told(tmp_path):
    (tmp_path / "cellar").write_text("mine")
    with pytest.raises(MakingError, match="is a file"):
        write(pocket_of(PLAIN), tmp_path / "cellar")


def test_what_is_no_package_of_pyodide_is_told(tmp_path):
    (tmp_path / PYODIDE.file).write_bytes(b"no archive")
    with pytest.raises(MakingError, match="no archive of an npm package") as told:
        core(Given(pyodide=tmp_path / PYODIDE.file, msgspec=tmp_path))
    assert "npm pack pyodide@" in told.value.mend


def test_another_build_of_pyodide_is_refused(tmp_path):
    for name in PARTS:
        (tmp_path / name).write_bytes(b"another")
    with pytest.raises(MakingError, match="is not the one of pyodide"):
        core(Given(pyodide=tmp_path, msgspec=tmp_path))


def test_a_package_without_what_is_needed_is_told(tmp_path):
    with tarfile.open(tmp_path / "empty.tgz", "w:gz"):
        pass
    with pytest.raises(MakingError, match=r"pyodide\.mjs|pyodide\.js.* is not there"):
        core(Given(pyodide=tmp_path / "empty.tgz", msgspec=tmp_path))


def test_without_npm_it_is_said_what_to_do(tmp_path, monkeypatch):
    monkeypatch.setattr("faultnet.pocket.making.fetch.shutil.which", lambda _: None)
    monkeypatch.setattr("faultnet.pocket.making.fetch.find_spec", lambda _: None)
    with pytest.raises(MakingError, match="npm, which fetches it, is not here") as told:
        core(Given(kept=tmp_path))
    assert "faultnet[pocket]" in told.value.mend
    assert "--pyodide" in told.value.mend


def test_the_command_tells_bytes_and_edition(given, made, faultnet, tmp_path, monkeypatch):
    monkeypatch.setattr("faultnet.cli.pocket.Sources.given", given)
    ran = faultnet("pocket", tmp_path / "cellar", "--json")
    assert ran.json["edition"] == made.edition.edition
    assert (ran.json["bytes"], ran.json["bytes_sent"]) == (made.raw, made.sent)
    assert ran.json["bytes"] == sum(each["bytes"] for each in ran.json["files"])
    assert "holds this edition already" in faultnet("pocket", tmp_path / "cellar").out


def test_the_command_has_the_numbers_of_a_region(given, made, faultnet, tmp_path, monkeypatch):
    monkeypatch.setattr("faultnet.cli.pocket.Sources.given", given)
    ran = faultnet("pocket", tmp_path / "cellar", "--region", "nowhere", "--json")
    assert ran.json["error"]["kind"] == "unknown-name"
    assert not (tmp_path / "cellar").exists()


def test_the_command_refuses_a_folder_of_others(given, made, faultnet, tmp_path, monkeypatch):
    monkeypatch.setattr("faultnet.cli.pocket.Sources.given", given)
    (tmp_path / "mine").write_text("mine")
    ran = faultnet("pocket", tmp_path)
    assert ran.code == 1
    assert ran.err == (
        f"{tmp_path}: holds other files and no pocket.\n"
        "Name a new folder, or one that holds a pocket.\n"
    )


def test_a_plain_file_server_is_enough(pocket_files):
    import httpx

    with serving(pocket_files) as served:
        told = httpx.get(f"{served.address}edition.json")
    assert json.loads(told.text)["edition"]
