"""`rank` and `next`: shapes, orders, evidence as it was meant."""

import pytest

from tests.cli.conftest import CISTERN

SEEN = ["-f", "never-shuts-off=yes", "-f", "gauge-falls-isolated=yes"]
SAFE = ["--made-safe", "never-shuts-off"]


def test_rank_shape(faultnet):
    ran = faultnet("rank", CISTERN, *SEEN, "--json")
    assert (ran.code, ran.err) == (0, "")
    told = ran.json
    assert set(told) == {
        *("schema_version", "system", "evidence", "evidence_probability", "causes", "groups"),
        *("unlisted", "more_than_one", "dangers", "conflict", "region"),
    }
    assert told["schema_version"] == 1
    assert told["system"] == CISTERN
    assert 0.0 < told["evidence_probability"] < 1.0
    chances = [cause["probability"] for cause in told["causes"]]
    assert chances == sorted(chances, reverse=True)
    assert all(0.0 <= chance <= 1.0 for chance in chances)
    assert all(set(c) == {"id", "title", "probability", "group"} for c in told["causes"])
    assert all({"id", "causes", "probability"} <= set(group) for group in told["groups"])
    assert {"finding", "answer", "say", "send"} <= set(told["dangers"][0])
    assert told["conflict"] == []
    groups = {group["id"]: group["causes"] for group in told["groups"]}
    for cause in told["causes"]:
        assert cause["group"] is None or cause["id"] in groups[cause["group"]]


def test_next_shape(faultnet):
    ran = faultnet("next", CISTERN, *SEEN, *SAFE, "--json")
    assert (ran.code, ran.err) == (0, "")
    told = ran.json
    assert {"schema_version", "system", "unit", "dangers", "steps", "floor"} <= set(told)
    wanted = {
        *("id", "kind", "title", "minutes", "waiting", "price", "expected_total", "setups"),
        *("who", "outcomes", "cautions"),
    }
    assert all(wanted <= set(step) for step in told["steps"])
    assert {step["kind"] for step in told["steps"]} <= {"check", "repair", "specialist"}
    totals = [step["expected_total"] for step in told["steps"]]
    assert totals == sorted(totals)
    assert told["floor"] <= totals[0]
    for step in told["steps"]:
        if step["kind"] == "check":
            # the rarest of many joint answers are left out
            assert 0.0 < sum(o["probability"] for o in step["outcomes"]) <= 1.0 + 1e-9


def test_danger_is_first_and_withholds_the_steps(faultnet):
    ran = faultnet("next", CISTERN, *SEEN, "--json")
    assert ran.code == 0
    assert [danger["finding"] for danger in ran.json["dangers"]] == ["never-shuts-off"]
    assert {step["kind"] for step in ran.json["steps"]} == {"make-safe"}
    told = faultnet("next", CISTERN, *SEEN).out
    assert told.startswith("DANGER")
    assert "--made-safe never-shuts-off" in told
    assert faultnet("rank", CISTERN, *SEEN).out.startswith("DANGER")


def test_danger_made_safe_lets_the_steps_through(faultnet):
    told = faultnet("next", CISTERN, *SEEN, *SAFE).out
    assert told.startswith("Made safe: ")
    assert "1." in told
    assert "After that" in told


@pytest.mark.parametrize("command", ["rank", "next"])
def test_nothing_said_at_all(faultnet, command):
    ran = faultnet(command, CISTERN)
    assert (ran.code, ran.err) == (0, "")
    assert "DANGER" not in ran.out


def test_limits(faultnet):
    every = faultnet("rank", CISTERN, "--json").json["causes"]
    assert len(every) > 50
    assert len(faultnet("rank", CISTERN, "--json", "--limit", "3").json["causes"]) == 3
    assert len(faultnet("rank", CISTERN, "--json", "--all").json["causes"]) == len(every)
    shown = faultnet("rank", CISTERN).out
    assert sum(each["id"] in shown.split() for each in every) == 10
    shown = faultnet("rank", CISTERN, "--all").out
    assert all(each["id"] in shown.split() for each in every)
    assert len(faultnet("next", CISTERN, "--json", "--limit", "2").json["steps"]) == 2
    one = faultnet("next", CISTERN, "--limit", "1").out
    assert "After that" not in one


def test_evidence_is_told_as_it_was_understood(faultnet):
    ran = faultnet(
        *("next", CISTERN, "--by", "caller", "-f", "air-at-taps=yes", "-f", "after-work=no"),
        *("-l", "tank=plain", "-m", "hold.start=3.4bar", "-m", "hold.end=300kPa"),
        *("-m", "hold.minutes=900s", "--set-up", "house-valve-shut"),
    )
    assert ran.code == 0
    known = faultnet(
        *("rank", CISTERN, "--by", "caller", "-f", "air-at-taps=yes", "-f", "after-work=no"),
        *("-l", "tank=plain", "-m", "hold.start=3.4bar", "-m", "hold.end=300kPa"),
        *("-m", "hold.minutes=0.25h", "--json"),
    ).json["evidence"]
    assert known["circumstances"] == {"after-work": False}
    assert known["layout"] == {"tank": "plain"}
    (only,) = known["rounds"]
    assert only["answers"] == [{"finding": "air-at-taps", "answer": "yes", "by": "caller"}]
    # 1 bar = 14.5038 psi and 1 kPa = 0.145038 psi, as tables print them (from memory).
    assert only["readings"]["hold"] == pytest.approx(
        {"start": 49.31, "end": 43.51, "minutes": 15.0}, abs=0.01
    )


def test_reading_says_what_the_spoken_answer_says(faultnet):
    spoken = faultnet("rank", CISTERN, "-f", "gauge-falls-isolated=yes", "--json").json
    measured = faultnet(
        *("rank", CISTERN, "-m", "hold.start=50psi", "-m", "hold.end=44psi"),
        *("-m", "hold.minutes=15min", "--json"),
    ).json
    for one, other in zip(spoken["causes"][:5], measured["causes"][:5], strict=True):
        assert one["id"] == other["id"]
        assert one["probability"] == pytest.approx(other["probability"], abs=1e-6)


def test_word_of_a_caller_weighs_less(faultnet):
    def first(*options):
        return faultnet("rank", CISTERN, *options, "--json").json["causes"][0]["probability"]

    assert first("-f", "motor-hums=yes", "--by", "caller") < first("-f", "motor-hums=yes")


def test_second_round_after_a_repair(faultnet):
    def causes(*options):
        told = faultnet("rank", CISTERN, *options, "--json").json["causes"]
        return {cause["id"]: cause["probability"] for cause in told}

    before = causes("-f", "gauge-falls-isolated=yes")
    marked = causes(
        *("-f", "1:gauge-falls-isolated=yes", "--mended", "1:clean-foot-valve"),
        *("-f", "gauge-falls-isolated=yes"),
    )
    bare = causes(
        *("-f", "1:gauge-falls-isolated=yes", "--mended", "clean-foot-valve"),
        *("-f", "2:gauge-falls-isolated=yes"),
    )
    assert marked == bare
    cause = "foot-valve-held-open-by-debris"
    assert marked[cause] < before[cause] / 3


def test_rounds_are_told_apart(faultnet):
    known = faultnet(
        *("rank", CISTERN, "-f", "1:gauge-falls-isolated=yes", "--mended", "1:clean-foot-valve"),
        *("-f", "2:gauge-falls-isolated=yes", "--mended", "2:renew-shaft-seal"),
        *("-f", "gauge-falls-isolated=no", "--json"),
    )
    assert known.code == 0, known.err
    rounds = known.json["evidence"]["rounds"]
    assert [r["mended"] for r in rounds] == [["clean-foot-valve"], ["renew-shaft-seal"], []]
    assert [r["answers"][0]["answer"] for r in rounds] == ["yes", "yes", "no"]


def test_what_a_caller_may_do(faultnet):
    steps = faultnet(
        *("next", CISTERN, "-f", "air-at-taps=yes", "--by", "caller", "--who", "caller"), "--json"
    ).json["steps"]
    assert {step["who"] for step in steps} <= {"caller", "specialist"}


def test_set_up_made_already_costs_nothing(faultnet):
    def price(*options):
        told = faultnet("next", CISTERN, *SEEN, *SAFE, *options, "--json").json
        return {step["id"]: step["price"] for step in told["steps"]}

    bare, made = price(), price("--set-up", "power-locked-out")
    both = bare.keys() & made.keys()
    assert both
    assert all(made[step] <= bare[step] for step in both)
    assert any(made[step] < bare[step] for step in both)


def test_why_names_lines_and_numbers(faultnet):
    ran = faultnet("why", CISTERN, *SEEN, *SAFE, "--json")
    assert (ran.code, ran.err) == (0, "")
    told = ran.json
    assert told["cause"] == faultnet("rank", CISTERN, *SEEN, "--json").json["causes"][0]["id"]
    assert [move["about"] for move in told["moves"]] == ["never-shuts-off", "gauge-falls-isolated"]
    assert told["moves"][-1]["after"] == pytest.approx(told["after"])
    assert any(move["lines"] for move in told["moves"])
    assert told["next"]["steps"]
    shown = faultnet("why", CISTERN, *SEEN, *SAFE).out
    assert "The next step in numbers" in shown
    assert "never-shuts-off=yes" in shown
    assert ".yaml:" in shown


def test_why_of_a_cause_that_is_named(faultnet):
    ran = faultnet("why", CISTERN, "shaft-seal-leaks", *SEEN, "--json")
    assert ran.json["cause"] == "shaft-seal-leaks"
    assert ran.json["next"] is None
    assert "in numbers" not in faultnet("why", CISTERN, "shaft-seal-leaks", *SEEN).out


def test_systems(faultnet):
    told = faultnet("systems", "--json").json["systems"]
    assert {s["id"] for s in told} >= {CISTERN, "jet-pump-shallow-well", "cistern-booster"}
    one = faultnet("systems", CISTERN, "--json").json
    assert {"layout", "circumstances", "findings", "readings"} <= set(one)
    shown = faultnet("systems", CISTERN).out
    for finding in one["findings"]:
        assert f"{finding['id']}:" in shown
    assert "hold: start in psi" in shown


def test_where(faultnet, tmp_path, monkeypatch):
    monkeypatch.setenv("FAULTNET_DATA", str(tmp_path))
    told = faultnet("where", "--json").json
    assert told["data"] == str(tmp_path)
    assert told["knowledge"].endswith("knowledge")
    assert str(tmp_path) in faultnet("where").out
    monkeypatch.setenv("FAULTNET_CACHE", "")
    assert faultnet("where", "--json").json["cache"] is None
    assert "nothing is kept" in faultnet("where").out


def test_next_with_time_says_how_far_it_looked_and_shows_the_plan(faultnet):
    hums = ("next", CISTERN, "-f", "motor-hums=yes", "--seconds", "1")
    ran = faultnet(*hums, "--plan")
    assert (ran.code, ran.err) == (0, "")
    assert "Looked further ahead" in ran.out
    assert "The plan" in ran.out
    told = faultnet(*hums, "--json").json
    assert told["planner"] == "deeper"
    assert told["plan"]["expected"] <= told["plan"]["one_step"] + 1e-6
    assert told["gap"] >= 0.0
    assert told["plan"]["first"]["branches"]


def test_next_shows_the_plan_one_step_ahead_without_time(faultnet):
    told = faultnet("next", CISTERN, "-f", "motor-hums=yes", "--plan", "--json").json
    assert (told["planner"], told["plan"]["gained"]) == ("one-step", 0.0)
