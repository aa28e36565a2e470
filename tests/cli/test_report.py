"""`report` on the command line: written whole, never over another, refused in words."""

import json

import pytest

from faultnet.cases import events as e
from faultnet.cases.store.place import place_of
from faultnet.cases.store.store import Store
from tests.cases.people import Person
from tests.report.conftest import WORLD, called, mends, site


@pytest.fixture
def data(tmp_path, monkeypatch):
    monkeypatch.setenv("FAULTNET_DATA", str(tmp_path / "data"))
    monkeypatch.delenv("FAULTNET_STORE", raising=False)
    return tmp_path / "data"


@pytest.fixture
def keep(data):
    def keeping(*people):
        data.mkdir(exist_ok=True)
        with Store(place_of(None, data)) as store:
            for person in people:
                store.append(person.seen)
        return people[-1].seen[0].log

    return keeping


@pytest.fixture
def case(keep):
    rosa, kept = site()
    _, bruno = called(kept.id)
    mends(bruno)
    return keep(rosa, bruno)


@pytest.fixture
def report(faultnet, data):
    def ran(*arguments):
        return faultnet("report", *arguments, "--knowledge", WORLD)

    return ran


def test_markdown_on_the_screen(report, case):
    told = report(case[-5:])
    assert (told.code, told.err) == (0, "")
    assert told.out.startswith("# Service report\n")
    assert "Mill at Orquay" in told.out
    assert "%" not in told.out
    assert "Likeliest causes" in report(case, "--for", "office").out


@pytest.mark.parametrize(
    ("name", "begins"),
    [("r.md", b"# Service"), ("r.html", b"<!DOCTYPE html>"), ("r.PDF", b"%PDF-"), ("r", b"# Ser")],
)
def test_the_suffix_says_the_format(report, case, tmp_path, name, begins):
    told = report(case, "-o", tmp_path / name)
    assert told.code == 0
    assert (tmp_path / name).read_bytes().startswith(begins)
    assert name in told.out


def test_the_format_goes_before_the_suffix(report, case, tmp_path):
    assert report(case, "--format", "html", "-o", tmp_path / "x.md").code == 0
    assert (tmp_path / "x.md").read_bytes().startswith(b"<!DOCTYPE")


def test_json(report, case, tmp_path):
    told = report(case, "--json").json
    assert (told["schema_version"], told["case"], told["for"]) == (1, case, "customer")
    assert told["facts"]["Site"] == "Mill at Orquay"
    kinds = {block["kind"] for section in told["sections"] for block in section["blocks"]}
    assert kinds == {"paragraph", "list", "table"}
    told = report(case, "-o", tmp_path / "r.pdf", "--json").json
    assert told["format"] == "pdf"
    assert told["bytes"] == (tmp_path / "r.pdf").stat().st_size


def test_a_file_that_is_there_is_left_alone(report, case, tmp_path):
    file = tmp_path / "r.html"
    file.write_text("mine")
    told = report(case, "-o", file)
    assert (told.code, file.read_text()) == (2, "mine")
    assert "--replace" in told.err
    assert report(case, "-o", file, "--replace").code == 0
    assert file.read_text().startswith("<!DOCTYPE")


@pytest.mark.parametrize("where", ["nowhere/r.md", "file/r.md"])
def test_a_place_that_cannot_be_written(report, case, tmp_path, where):
    (tmp_path / "file").write_text("")
    told = report(case, "-o", tmp_path / where)
    assert told.code == 1
    assert "cannot be written" in told.err
    assert sorted(p.name for p in tmp_path.iterdir()) == ["data", "file"]


def test_a_folder_is_not_written_over(report, case, tmp_path):
    (tmp_path / "r.md").mkdir()
    assert report(case, "-o", tmp_path / "r.md").code == 2
    assert report(case, "-o", tmp_path / "r.md", "--replace").code == 1


def test_a_pdf_is_not_for_the_screen(report, case):
    told = report(case, "--format", "pdf")
    assert (told.code, told.out) == (2, "")
    assert "-o report.pdf" in told.err


def test_an_unknown_case(report, case):
    told = report("zzzzz")
    assert (told.code, told.out) == (2, "")
    assert "There is no case `zzzzz`" in told.err
    error = json.loads(report("zzzzz", "--json").out)["error"]
    assert error["kind"] == "usage"


def test_a_system_that_the_knowledge_holds_no_longer(report, keep):
    anna = Person("Anna")
    anna.opens(e.Opened("steam-pump"))
    told = report(keep(anna))
    assert told.code == 2
    assert "`steam-pump`, which this knowledge does not hold" in told.err
    assert "--knowledge" in told.err


def test_a_case_with_nothing_in_it(report, keep, tmp_path):
    anna = Person("Anna")
    anna.opens(e.Opened("small-pump"))
    name = keep(anna)
    for audience in ("customer", "office"):
        told = report(name, "--for", audience, "-o", tmp_path / f"{audience}.pdf")
        assert told.code == 0, told.err


def test_texts_of_evil_people(report, keep, tmp_path):
    rosa, _ = called()
    rosa.writes(e.Note("<script>\x1b[2J\u202e" + "x" * 100_000), e.Photo("../../\x00.jpg"))
    name = keep(rosa)
    told = report(name, "--for", "office")
    assert told.code == 0
    assert "\x1b" not in told.out
    assert "\u202e" not in told.out
    assert report(name, "--for", "office", "-o", tmp_path / "r.pdf").code == 0


def test_no_pdf_library_is_told(report, case, tmp_path, monkeypatch):
    import sys

    monkeypatch.delitem(sys.modules, "faultnet.writing.pdf", raising=False)
    monkeypatch.setitem(sys.modules, "fpdf", None)
    told = report(case, "-o", tmp_path / "r.pdf")
    assert told.code == 1
    assert "fpdf2" in told.err
    assert not (tmp_path / "r.pdf").exists()
