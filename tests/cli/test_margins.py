"""`margins`: how far numbers may move, on small knowledge."""

import shutil

import pytest

from tests.cli.conftest import SMALL

ASKED = ("margins", "jet-pump", "--knowledge", SMALL, "-f", "no-water=yes", "--by", "caller")

CASE = """
from: judgement
cases:
  - id: no-water
    system: jet-pump
    reason: A test.
    by: caller
    given: {no-water: yes}
    expect: {top-3: [pipe-cracked]}
"""


def test_margins_of_a_case(faultnet):
    ran = faultnet(*ASKED, "--json")
    assert (ran.code, ran.err) == (0, "")
    told = ran.json
    assert told["margins"]
    for margin in told["margins"]:
        low, high, value = margin["low"], margin["high"], margin["number"]["value"]
        assert low or high
        assert low is None or low["value"] <= value
        assert high is None or high["value"] >= value
    shown = faultnet(*ASKED).out
    assert shown.startswith("How far each number may move")
    assert told["margins"][0]["number"]["about"] in " ".join(shown.split())


@pytest.mark.parametrize("width", [40, 80])
def test_margins_fit_the_screen(faultnet, monkeypatch, width):
    monkeypatch.setenv("COLUMNS", str(width))
    lines = faultnet(*ASKED, "--words").out.splitlines()
    assert lines
    long = [line for line in lines if len(line) > width and " " in line.strip()]
    assert not long


def test_margins_are_drawn(faultnet, tmp_path):
    path = tmp_path / "margins.svg"
    assert faultnet(*ASKED, "--picture", path).code == 0
    assert path.read_text("utf-8").startswith("<svg")


def test_margins_over_cases(faultnet, tmp_path):
    copy = tmp_path / "knowledge"
    shutil.copytree(SMALL, copy)
    (copy / "own.cases.yaml").write_text(CASE)
    asked = ("margins", "jet-pump", "--knowledge", copy, "--cases")
    ran = faultnet(*asked, "--json")
    assert (ran.code, ran.err) == (0, "")
    assert ran.json["cases"] == 3
    assert ran.json["left_out"] == []
    assert {case["case"] for each in ran.json["worth"] for case in each["cases"]} == {"no-water"}
    shown = faultnet(*asked).out
    assert "colleague" in shown
    assert "no-water: " in shown


def test_a_case_that_cannot_be_read_is_told(faultnet, tmp_path):
    copy = tmp_path / "knowledge"
    shutil.copytree(SMALL, copy)
    (copy / "own.cases.yaml").write_text(CASE.replace("no-water: yes", "no-watr: yes"))
    ran = faultnet("margins", "jet-pump", "--knowledge", copy, "--cases")
    assert ran.code == 1
    assert "no-watr" in ran.out
    assert "2 cases looked at" in ran.out


def test_cases_are_not_mixed_with_a_case(faultnet):
    ran = faultnet(*ASKED, "--cases")
    assert ran.code == 2
    assert "--cases" in ran.err


def test_answers_that_cannot_be_true_together(faultnet):
    told = ("-f", "no-sound=yes", "-f", "no-pressure=yes")
    ran = faultnet("margins", "jet-pump", "--knowledge", SMALL, *told)
    assert ran.code == 1
    assert ran.out


def test_lint_tells_edges_when_asked(faultnet):
    plain = faultnet("lint", SMALL, "--json").json
    edges = faultnet("lint", SMALL, "--edges", "--json").json
    codes = {p["code"] for p in edges["problems"]}
    assert edges["warnings"] >= plain["warnings"]
    assert codes - {p["code"] for p in plain["problems"]} <= {"number-on-edge"}
