"""`chart`: the plan of a trouble on paper, its figures, and what it refuses."""

import os

import pytest

from tests.cli.conftest import ROOT

FOLDER = ROOT / "tests" / "drawing" / "chart" / "knowledge"
NO_WATER = ("-f", "no-water=yes")


@pytest.fixture
def chart(faultnet):
    def ran(*arguments, system="weir-lane-one"):
        return faultnet("chart", system, "--knowledge", FOLDER, *arguments)

    return ran


def test_a_pdf_is_written_once_and_replaced_only_when_asked(chart, tmp_path):
    out = tmp_path / "wall.pdf"
    done = chart(*NO_WATER, "--depth", 1, "--further", 0, "--out", out)
    assert done.code == 0
    assert out.read_bytes().startswith(b"%PDF")
    assert f"written to {out}" in " ".join(done.out.split())
    assert "Following this chart: about" in done.out
    assert chart(*NO_WATER, "--depth", 1, "--further", 0, "--out", out).code == 2
    assert chart(*NO_WATER, "--depth", 1, "--further", 0, "--out", out, "--replace").code == 0


def test_svg_has_a_file_for_each_sheet(chart, tmp_path):
    done = chart(
        *NO_WATER,
        *("--depth", 1, "--further", 0, "--paper", "letter", "--landscape"),
        *("--json", "--out", tmp_path / "w.svg"),
    )
    files = [tmp_path / f"w-{n}.svg" for n in range(1, done.json["sheets"] + 1)]
    assert done.json["files"] == [str(file) for file in files]
    assert all(file.read_text().startswith("<?xml") for file in files)
    assert sorted(tmp_path.iterdir()) == sorted(files)


def test_json_tells_boxes_ways_and_costs(chart):
    told = chart(*NO_WATER, "--depth", 2, "--json").json
    assert told["schema_version"] == 1
    assert (told["system"], told["who"], told["depth"]) == ("weir-lane-one", "technician", 2)
    first = told["boxes"][0]
    assert first["id"] == "listen"
    assert first["cautions"] == ["Keep your hands off the shaft."]
    assert {way["box"] for way in first["ways"]} >= {None, 2}
    assert told["live"]["expected"] <= told["expected"] + 1e-9 < told["repair_only"]
    cost = first["minutes"] + sum(
        way["probability"]
        * (told["boxes"][way["box"] - 1]["expected"] if way["box"] else way["end"]["expected"])
        for way in first["ways"]
    )
    assert cost + first["other_probability"] * first["other"]["expected"] == pytest.approx(
        told["expected"]
    )


def test_a_danger_that_was_told_is_told_first(chart):
    told = chart(*NO_WATER, "-f", "spray=yes", "--depth", 1, "--further", 0, "--json").json
    assert [each["finding"] for each in told["dangers"]] == ["spray"]
    assert told["live"] is None


def test_nothing_is_written_without_a_file(chart):
    done = chart(*NO_WATER, "--depth", 1)
    assert done.code == 0
    assert "To print it, name a file: --out chart.pdf" in done.out


REFUSED = [
    ([], "begins with a complaint", "faultnet systems weir-lane-one"),
    (["-f", "no-watr=yes"], "no finding `no-watr`", "`no-water`"),
    (["-f", "no-water=maybe"], "answer to no-water", "yes"),
    ([*NO_WATER, "-l", "source=wel"], "no value of source", "`well`"),
    ([*NO_WATER, "--depth", "0"], "0 is not in the range", "chart --help"),
    ([*NO_WATER, "--depth", "9"], "boxes here; at most 120 are drawn", "--depth 4"),
    ([*NO_WATER, "--out", "wall.doc"], ".pdf or .svg", "--out wall.pdf"),
    ([*NO_WATER, "--out", "wall"], ".pdf or .svg", "--out wall.pdf"),
    ([*NO_WATER, "--out", "no/such/wall.pdf"], "no/such is not there", "name another"),
    ([*NO_WATER, "--paper", "a3"], "'a3' is not one of", "a4"),
    ([*NO_WATER, "--who", "anybody"], "'anybody' is not one of", "technician"),
]


@pytest.mark.parametrize(("arguments", "reason", "mend"), REFUSED)
def test_what_is_not_understood_is_refused_with_reason_and_mend(chart, arguments, reason, mend):
    done = chart(*arguments)
    assert (done.code, done.out) == (2, "")
    assert reason in done.err
    assert mend in done.err


def test_answers_that_cannot_be_true_together_are_a_problem(chart):
    done = chart("-f", "no-water=no")
    assert done.code == 1
    assert "cannot all be true together" in done.out
    told = chart("-f", "no-water=no", "--json")
    assert told.code == 1
    assert [each["about"] for each in told.json["conflict"]] == ["no-water"]


def test_a_folder_that_cannot_be_written_is_told_before_any_arithmetic(
    chart, tmp_path, monkeypatch
):
    monkeypatch.setattr(os, "access", lambda _, mode: mode != os.W_OK)
    monkeypatch.setattr("faultnet.drawing.chart.made.make_chart", None)
    done = chart(*NO_WATER, "--depth", 1, "--out", tmp_path / "wall.pdf")
    assert done.code == 1
    assert "cannot be written" in done.err


def test_a_folder_in_place_of_the_file_is_told(chart, tmp_path):
    (tmp_path / "wall.pdf").mkdir()
    done = chart(*NO_WATER, "--depth", 1, "--out", tmp_path / "wall.pdf", "--replace")
    assert done.code == 1
    assert "cannot be written" in done.err
