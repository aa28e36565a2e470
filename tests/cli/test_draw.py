"""`draw`: files, standard output, JSON, and what is refused."""

import sys

import pytest
from defusedxml.ElementTree import fromstring

from tests.cli.conftest import CISTERN

CAUSE = "foot-valve-leaks-slowly"


@pytest.mark.parametrize(("name", "form"), [("n.svg", "svg"), ("n.GV", "dot"), ("n.mmd", "mmd")])
def test_the_suffix_says_the_form(faultnet, tmp_path, name, form):
    out = tmp_path / name
    ran = faultnet("draw", CISTERN, "--around", CAUSE, "--out", out, "--json")
    assert ran.code == 0, ran.err
    assert ran.json["format"] == form
    assert ran.json["file"] == str(out)
    assert ran.json["bytes"] == out.stat().st_size
    assert ran.json["left_out"]["links"] > 0


def test_it_tells_what_was_written_and_left_out(faultnet, tmp_path):
    out = tmp_path / "network.svg"
    ran = faultnet("draw", CISTERN, "--out", out)
    assert "Left out: " in ran.out
    assert f"Written to {out}" in ran.out
    fromstring(out.read_bytes())


def test_without_a_file_it_goes_to_standard_output(faultnet):
    assert faultnet("draw", CISTERN, "--around", CAUSE, "--format", "dot").out.startswith("digraph")


def test_json_without_a_file_has_nodes_and_edges(faultnet):
    told = faultnet("draw", CISTERN, "-f", "never-shuts-off=yes", "--json").json
    (node,) = [each for each in told["nodes"] if each["id"] == "never-shuts-off"]
    assert node["told"] == "yes"
    assert told["warnings"][0].startswith("DANGER")
    causes = [each for each in told["nodes"] if each["kind"] == "cause"]
    assert len(causes) == 15
    assert all(0.0 < each["probability"] < 1.0 for each in causes)


def test_the_small_knowledge_of_another_folder(small):
    ran = small("draw", "--format", "mmd", "--looks", "--weakest", "0")
    assert "Foot valve leaks" in ran.out


@pytest.mark.parametrize(
    ("arguments", "told", "hint"),
    [
        (["--part", "sucton"], "no part `sucton`", "`suction`"),
        (["--around", "foot-valve-leak-slowly"], "no cause", f"`{CAUSE}`"),
        (["--around", CAUSE, "--part", "suction"], "not both", "draw --help"),
        (["--out", "x.png"], "`.png` is no kind of picture", ".svg, .dot"),
        (["--out", "network"], "`` is no kind of picture", "--format"),
        (["--weakest", "2"], "2.0 is not in the range", "draw --help"),
        (["-f", "never-shut-off=yes"], "no finding", "`never-shuts-off`"),
    ],
)
def test_refused(faultnet, arguments, told, hint):
    ran = faultnet("draw", CISTERN, *arguments)
    assert ran.code == 2
    assert ran.out == ""
    assert told in ran.err
    assert hint in ran.err


def test_an_unknown_system(faultnet):
    ran = faultnet("draw", "jet-pump-cisten")
    assert ran.code == 2
    assert "`jet-pump-cistern`" in ran.err


def test_a_place_that_cannot_be_written(faultnet, tmp_path):
    ran = faultnet("draw", CISTERN, "--around", CAUSE, "--out", tmp_path / "none" / "x.svg")
    assert ran.code == 1
    assert "cannot be written" in ran.err


def test_a_file_that_is_there_is_left_alone(faultnet, tmp_path):
    out = tmp_path / "x.dot"
    out.write_text("mine")
    asked = ("draw", CISTERN, "--around", CAUSE, "--out", out)
    ran = faultnet(*asked)
    assert ran.code == 2
    assert "--replace" in ran.err
    assert out.read_text() == "mine"
    assert faultnet(*asked, "--replace").code == 0
    assert out.read_text() != "mine"


def test_answers_that_conflict_are_not_drawn(faultnet, tmp_path):
    out = tmp_path / "x.svg"
    ran = faultnet("draw", CISTERN, "-f", "motor-silent=yes", "-f", "motor-hums=yes", "--out", out)
    assert ran.code == 1
    assert "cannot all be true together" in ran.out
    assert not out.exists()


def test_without_igraph_the_way_to_get_it_is_told(faultnet, monkeypatch):
    monkeypatch.setitem(sys.modules, "igraph", None)
    ran = faultnet("draw", CISTERN, "--around", CAUSE)
    assert ran.code == 2
    assert "`igraph` is not installed: pip install 'faultnet[draw]'" in ran.err
    assert faultnet("draw", CISTERN, "--around", CAUSE, "--format", "dot").code == 0
