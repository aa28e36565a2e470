"""`handbook`: a file, a folder, JSON, and what is refused."""

import sys

import pytest

from tests.cli.conftest import SMALL


@pytest.mark.parametrize(
    ("name", "form", "starts"),
    [("b.html", "html", "<!DOCTYPE html>"), ("b.md", "md", "# Handbook")],
)
def test_the_suffix_says_the_form(faultnet, tmp_path, name, form, starts):
    out = tmp_path / name
    ran = faultnet("handbook", SMALL, "--out", out, "--json")
    assert ran.code == 0, ran.err
    assert (ran.json["format"], ran.json["bytes"]) == (form, out.stat().st_size)
    assert ran.json["pictures"] == (form == "html")
    assert out.read_text().startswith(starts)


def test_without_a_suffix_it_is_a_folder(faultnet, tmp_path):
    out = tmp_path / "a" / "book"
    ran = faultnet("handbook", SMALL, "--out", out, "--format", "md", "--json")
    assert "causes.md" in ran.json["files"]
    assert {str(each.relative_to(out)) for each in out.rglob("*") if each.is_file()} == {
        *ran.json["files"]
    }


def test_a_book_of_one_system(faultnet, tmp_path):
    out = tmp_path / "b.md"
    ran = faultnet("handbook", SMALL, "--system", "jet-pump", "--out", out)
    assert f"The handbook is written to {out}" in ran.out
    assert "# Handbook: Jet pump" in out.read_text()


def test_what_is_there_is_left_alone(faultnet, tmp_path):
    out = tmp_path / "b.md"
    out.write_text("mine")
    ran = faultnet("handbook", SMALL, "--out", out)
    assert ran.code == 2
    assert "--replace" in ran.err
    assert out.read_text() == "mine"
    assert faultnet("handbook", SMALL, "--out", out, "--replace").code == 0


@pytest.mark.parametrize(
    ("arguments", "told", "hint"),
    [
        (["--out", "b.pdf"], "`.pdf` is no kind of handbook", ".html or .md"),
        (["--out", "b.md", "--system", "jet-pmp"], "no system `jet-pmp`", "`jet-pump`"),
        ([], "Missing option", "handbook --help"),
    ],
)
def test_refused(faultnet, arguments, told, hint):
    ran = faultnet("handbook", SMALL, *arguments)
    assert ran.code == 2
    assert told in ran.err
    assert hint in ran.err


def test_a_place_that_cannot_be_written(faultnet, tmp_path):
    (tmp_path / "file").write_text("x")
    ran = faultnet("handbook", SMALL, "--out", tmp_path / "file" / "book")
    assert ran.code == 1
    assert "cannot be written" in ran.err


def test_knowledge_with_an_error_is_refused(faultnet, tmp_path):
    (tmp_path / "parts").mkdir()
    (tmp_path / "parts" / "x.yaml").write_text("part: y\n")
    ran = faultnet("handbook", tmp_path, "--out", tmp_path / "b.md")
    assert ran.code == 1
    assert "x.yaml" in ran.err


def test_without_igraph_it_has_no_pictures_and_says_so(faultnet, tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "igraph", None)
    ran = faultnet("handbook", SMALL, "--out", tmp_path / "b.html")
    assert ran.code == 0, ran.err
    assert "pip install 'faultnet[draw]'" in ran.out
