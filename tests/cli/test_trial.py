"""`trial` on small knowledge."""

from pathlib import Path

import pytest

HOUSE = Path(__file__).parents[1] / "learning" / "trials" / "knowledge"
ASKED = ("trial", "mill-house", "--knowledge", HOUSE, "--calls", 24, "--workers", 1)


def test_a_trial(faultnet):
    policies = ("--policy", "one-step", "--policy", "chart:2", "--policy", "all-knowing")
    ran = faultnet(*ASKED, *policies, "--json")
    assert ran.code == 0
    told = ran.json
    mean = {p["policy"]: p["means"]["minutes"]["mean"] for p in told["policies"]}
    assert list(mean) == ["one-step", "chart:2", "all-knowing"]
    assert min(mean, key=mean.get) == "all-knowing"
    assert {(a["policy"], a["against"]) for a in told["against"]} == {
        ("one-step", "chart:2"),
        ("all-knowing", "chart:2"),
    }
    for each in told["against"]:
        less = each["differences"]["minutes"]
        assert less["mean"] == pytest.approx(mean[each["policy"]] - mean["chart:2"])
        assert less["low"] <= less["mean"] <= less["high"]


@pytest.mark.parametrize("width", [40, 80])
def test_a_trial_fits_the_screen(faultnet, monkeypatch, width):
    monkeypatch.setenv("COLUMNS", str(width))
    lines = faultnet(*ASKED, "--policy", "per-minute", "--policy", "all-knowing").out.splitlines()
    assert lines[0].startswith("Mill house")
    assert not [line for line in lines if len(line) > width]


def test_kept_put_out_and_replayed(faultnet, tmp_path):
    kept, out = tmp_path / "trial.jsonl", tmp_path / "cases.jsonl"
    asked = (*ASKED, "--policy", "per-minute", "--resume", kept, "--json")
    first = faultnet(*asked, "--out", out)
    assert first.code == 0
    assert faultnet(*asked).json == first.json
    assert out.read_text().count("\n") == 24
    ran = faultnet(*ASKED, "--policy", "all-knowing", "--replay", out, "--json")
    assert ran.code == 0
    assert ran.json["replayed"]
    assert ran.json["calls"] + sum(ran.json["set_aside"].values()) == 24


@pytest.mark.parametrize(
    ("more", "told"),
    [
        (("--policy", "guessing"), "There is no policy `guessing`"),
        (("--policy", "chart:0"), "There is no policy"),
        (("--replay", "nowhere.jsonl"), "nowhere.jsonl"),
        (("--calls", "0"), "--calls"),
        (("--refuses", "2"), "--refuses"),
    ],
)
def test_what_cannot_be_tried(faultnet, more, told):
    ran = faultnet(*ASKED, *more)
    assert ran.code == 2
    assert told in ran.err
    assert "Traceback" not in ran.err


def test_a_file_of_another_trial(faultnet, tmp_path):
    kept = tmp_path / "trial.jsonl"
    assert faultnet(*ASKED, "--policy", "per-minute", "--resume", kept).code == 0
    ran = faultnet(*ASKED, "--policy", "per-minute", "--seed", 2, "--resume", kept)
    assert ran.code == 2
    assert "another trial" in ran.err
