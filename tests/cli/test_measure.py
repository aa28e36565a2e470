"""`measure`: on a terminal wide or narrow, for programs, as a picture; and what it refuses."""

import pytest

from faultnet.advice.subjects import Subjects
from faultnet.authoring.store import load
from faultnet.learning.reading.written import write_cases
from tests.cli.conftest import SMALL
from tests.learning.measures.cases import FOOT_VALVE, imagined, like


@pytest.fixture(scope="module")
def cases(tmp_path_factory):
    """A file of cases, some of which cannot be used."""
    drawn = imagined(Subjects(load(SMALL))["jet-pump"], 5, 50)
    open_ended = [
        like(
            id=c.id,
            closed=c.closed,
            evidence=c.evidence,
            confirmed=c.confirmed,
            ending="works-again",
            opened="2025-01-01T07:00:00Z",
        )
        for c in drawn
    ]
    region = [
        like(id=f"weir-{k}", region="Weir Lane", trips=k % 2, opened=f"2026-01-0{k + 1}T07:00:00Z")
        for k in range(4)
    ]
    path = tmp_path_factory.mktemp("closed") / "cases.jsonl"
    write_cases(path, [*open_ended, *region, FOOT_VALVE, like(system="ram-pump", id="ram")])
    with path.open("ab") as stream:
        stream.write(b'{"id": "torn", "sys\n')
    return path


@pytest.fixture
def measure(faultnet, cases, monkeypatch):
    monkeypatch.chdir(cases.parent)

    def ran(*arguments):
        return faultnet("measure", cases.name, "--knowledge", SMALL, "--workers", 1, *arguments)

    return ran


@pytest.mark.parametrize("width", [80, 40])
def test_every_figure_is_told_within_the_width(measure, monkeypatch, width):
    monkeypatch.setenv("COLUMNS", str(width))
    ran = measure()
    assert ran.code == 0, ran.err
    assert max(map(len, ran.out.splitlines())) <= width
    for told in (
        "55 closed cases",
        "among the first 3",
        "Brier",
        "Renew the foot valve",
        "first visit",
        "2025-Q1",
        "too few",
        "Weir Lane",
        "cannot be read (1)",
    ):
        assert told in " ".join(ran.out.split())


def test_programs_get_numbers_with_their_ranges(measure):
    told = measure("--json", "--by", "year").json
    assert told["schema_version"] == 1
    assert told["read"] == 57
    assert told["set_aside"]["counts"] == {"not-json": 1, "unknown-id": 1}
    assert {each["case"] for each in told["set_aside"]["named"]} == {"", "ram"}
    one = told["before_repair"]["best"]["one"]
    assert one["low"] <= one["value"] <= one["high"]
    assert one["of"] == told["before_repair"]["cases"] == 55
    assert [each["name"] for each in told["periods"]] == ["2025", "2026"]
    assert told["periods"][0]["at_call"]["cases"] == 50
    assert told["periods"][1] == {
        "name": "2026",
        "cases": 5,
        "too_few": True,
        "at_call": None,
        "before_repair": None,
        "visits": None,
    }
    bins = told["reliability_at_call"]["causes"]["equal_widths"]
    assert (
        sum(each["came"]["of"] for each in bins) == told["reliability_at_call"]["causes"]["count"]
    )
    assert told["minutes"]["repair"]["ratio"] == pytest.approx(90 / 75)


def test_cases_that_were_learnt_from_are_left_out_or_said(measure, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    assert (
        "50 left out, for the files were learnt from them"
        in measure("--learnt-until", "2025-12-31").out
    )
    ran = measure("--learnt-until", "2025-12-31", "--also-learnt")
    assert "better than they will be on new ones" in " ".join(ran.out.split())
    told = measure("--learnt-until", "2025-12-31", "--json").json
    assert (told["learnt"], told["visits"]["cases"]) == (50, 5)


def test_cases_are_chosen_by_day_and_system(measure):
    assert measure("--since", "2026-01-01", "--json").json["visits"]["cases"] == 5
    assert measure("--until", "2025-12-31", "--json").json["visits"]["cases"] == 50
    assert measure("--system", "jet-pump", "--json").json["outside"] == 0


def test_learning_is_tried_out_by_time(measure, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    ran = measure("--folds", 1, "--until", "2025-12-31")
    assert ran.code == 0, ran.err
    assert "Learning moves the log loss of a case by" in " ".join(ran.out.split())
    assert "as written" in ran.out
    told = measure("--folds", 1, "--until", "2025-12-31", "--json").json
    (fold,) = told["folds"]
    assert fold["learnt_from"] + fold["at_call"]["learnt"]["cases"] == 50
    assert fold["at_call"]["moved"]["log_loss"]["count"] == fold["at_call"]["learnt"]["cases"]


def test_a_picture_is_drawn_and_replaces_nothing_by_itself(measure, tmp_path):
    pytest.importorskip("matplotlib")
    path, few = tmp_path / "measures.svg", ("--since", "2026-01-01")
    assert measure(*few, "--picture", path).code == 0
    assert b"</svg>" in path.read_bytes()
    assert measure(*few, "--picture", path).code == 2
    assert measure(*few, "--picture", path, "--replace").code == 0


@pytest.mark.parametrize(
    ("arguments", "code", "told"),
    [
        (("--picture", "measures.gif"), 2, "ends neither in .svg nor .png nor .pdf"),
        (("--since", "2026-13-01"), 2, "is no day"),
        (("--system", "jet-pum"), 2, "jet-pump"),
        (("--folds", "0"), 2, "0"),
        (("--folds", "2", "--since", "2026-01-01"), 2, "one day"),
    ],
)
def test_what_cannot_be_is_refused_in_words(measure, arguments, code, told):
    ran = measure(*arguments)
    assert ran.code == code
    assert told in ran.err


def test_a_source_that_is_not_there_is_told(faultnet):
    ran = faultnet("measure", "nowhere.jsonl", "--knowledge", SMALL)
    assert ran.code in {1, 2}
    assert "nowhere.jsonl" in ran.err


def test_without_matplotlib_it_is_said_what_to_install(measure, monkeypatch, tmp_path):
    monkeypatch.setitem(__import__("sys").modules, "matplotlib", None)
    ran = measure("--picture", tmp_path / "measures.svg")
    assert ran.code == 2
    assert "faultnet[plot]" in ran.err
