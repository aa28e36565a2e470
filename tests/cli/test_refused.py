"""Wrong input: each kind has its exit code, its message, and its JSON."""

import shutil

import pytest

from tests.cli.conftest import CISTERN, SMALL

WRONG = [
    (["rnak", CISTERN], "no command `rnak`", "`rank`"),
    (["rank"], "Missing argument 'SYSTEM'", "rank --help"),
    (["rank", "jet-pump-cisten"], "no system `jet-pump-cisten`", "`jet-pump-cistern`"),
    (["rank", CISTERN, "--limt", "3"], "--limt", "--limit"),
    (["rank", CISTERN, "--limit", "0"], "0 is not in the range", "rank --help"),
    (["rank", CISTERN, "-f", "never-shut-off=yes"], "no finding", "`never-shuts-off`"),
    (["rank", CISTERN, "-f", "qqq=yes"], "no finding `qqq`", "faultnet systems"),
    (["rank", CISTERN, "-f", "after-frezze=yes"], "no finding", "`after-freeze`"),
    (["rank", CISTERN, "-f", "never-shuts-off=maybe"], "answer to never-shuts-off", "yes"),
    (["rank", CISTERN, "-f", "never-shuts-off="], "no answer to", "yes"),
    (["rank", CISTERN, "-f", "after-freeze=perhaps"], "answer to after-freeze", "no, yes"),
    (["rank", CISTERN, "-f", "never-shuts-off"], "is not understood", "FINDING=ANSWER"),
    (["rank", CISTERN, "-f", "tank=plain"], "layout", "-l"),
    (["rank", CISTERN, "-l", "tnak=plain"], "no layout `tnak`", "`tank`"),
    (["rank", CISTERN, "-l", "tank=plian"], "no value of tank", "`plain`"),
    (["rank", CISTERN, "-l", "source=well"], "no value of source here", "cistern-hauled"),
    (["rank", CISTERN, "-l", "tank"], "is not understood", "LAYOUT=VALUE"),
    (["rank", CISTERN, "--by", "plumber"], "'plumber' is not one of", "technician"),
    (["rank", CISTERN, "--knowledge", "/nowhere/at/all"], "does not exist", "rank --help"),
    (["rank", CISTERN, "--mended", "clean-fot-valve"], "no repair", "`clean-foot-valve`"),
    (["next", CISTERN, "--made-safe", "never-shut-off"], "no finding", "`never-shuts-off`"),
    (["next", CISTERN, "--set-up", "hatch-opn"], "no set-up", "`hatch-open`"),
    (["next", CISTERN, "--who", "anybody"], "'anybody' is not one of", "technician"),
    (["why", CISTERN, "shaft-seal-leak"], "no cause", "`shaft-seal-leaks`"),
    (["lint", "/nowhere/at/all"], "does not exist", "lint --help"),
    (["prove", "/nowhere/at/all"], "does not exist", "prove --help"),
    (["systems", "jet-pump-cisten"], "no system", "`jet-pump-cistern`"),
]

MEASURED = [
    (["hodl.start=50psi"], "no reading `hodl`"),
    (["hold.begin=50psi"], "no part of reading hold `begin`"),
    (["hold=50psi"], "no part of reading hold"),
    (["hold.start"], "READING.PART=NUMBERUNIT"),
    (["hold.start=50"], "no unit"),
    (["hold.start=much"], "no number"),
    (["hold.start=nanpsi"], "no number"),
    (["hold.start=1e999psi"], "beyond all measure"),
    (["hold.start=50,5psi"], "point, not a comma"),
    (["hold.start=50min"], "min measures time, and this is a pressure"),
    (["hold.start=50psii"], "no unit `psii`"),
    (["hold.start=50psi"], "also needs end, minutes"),
    (["hold.start=50psi", "hold.end=44psi", "hold.minutes=2min"], "at least 10 min"),
    (["hold.start=500psi", "hold.end=44psi", "hold.minutes=15min"], "between 0 and 150 psi"),
    (["hold.start=-5psi", "hold.end=-9psi", "hold.minutes=15min"], "between 0 and 150 psi"),
    (["hold.start=50psi", "hold.start=51psi"], "given twice"),
    (["vacuum.vacuum=8inHg", "vacuum.lift=3kPa"], "kPa measures pressure, and this is a length"),
    (["vacuum.vacuum=8inHg"], "also needs lift"),
    (["vacuum.vacuum=0inHg", "vacuum.lift=10ft"], "at least 1 inHg"),
    (["running-volts.volts=115A"], "A measures current, and this is a voltage"),
    (["running-amps.amps=8A", "running-amps.plate=0A"], "between 0.5 and 100 A"),
    (["running-amps.service-factor=1.15A"], "A measures current, and this is a share"),
    (["start-capacitor.measured=200MFD"], "also needs least, most"),
    (["insulation.megohms=2mohm"], "no unit `mohm`"),
    (
        [
            "leak.start=40psi",
            "leak.end=48psi",
            "leak.minutes=15min",
            "leak.tank=44gal",
            "leak.precharge=28psi",
        ],
        "The gauge rose from 40 to 48 psi",
    ),
]

TWICE = [
    (["-f", "never-shuts-off=yes", "-f", "never-shuts-off=no"], "as `yes` and as `no`"),
    (["-f", "after-freeze=yes", "-f", "after-freeze=no"], "given twice"),
    (["-l", "tank=plain", "-l", "tank=captive-air"], "as `plain` and as `captive-air`"),
]

ROUNDS = [
    (["-f", "2:never-shuts-off=yes"], "Nothing ended round 1"),
    (["-f", "0:never-shuts-off=yes"], "rounds count from 1"),
    (["-f", "999:never-shuts-off=yes", "--mended", "1:clean-foot-valve"], "ended round 2"),
    (["-f", "1000:never-shuts-off=yes"], "is not understood"),
    (["--mended", "2:clean-foot-valve"], "Nothing ended round 1"),
    (["--mended", "clean foot valve"], "is not understood"),
]


def refused(ran, *parts):
    assert ran.code == 2, ran.out
    assert ran.out == ""
    for part in parts:
        assert part in ran.err
    assert "Traceback" not in ran.err


@pytest.mark.parametrize(("arguments", "message", "hint"), WRONG)
def test_wrong_words(faultnet, arguments, message, hint):
    refused(faultnet(*arguments), message, hint)


@pytest.mark.parametrize(("arguments", "message", "hint"), WRONG)
def test_wrong_words_as_json(faultnet, arguments, message, hint):
    ran = faultnet(*arguments, "--json")
    assert (ran.code, ran.err) == (2, "")
    assert ran.json["schema_version"] == 1
    error = ran.json["error"]
    assert error["kind"] in {"usage", "unknown-name"}
    assert message in error["message"]
    assert hint in error["message"] + error["hint"]


@pytest.mark.parametrize(("measured", "message"), MEASURED)
def test_wrong_numbers(faultnet, measured, message):
    options = [option for each in measured for option in ("-m", each)]
    refused(faultnet("rank", CISTERN, *options), message)


@pytest.mark.parametrize(("options", "message"), [*TWICE, *ROUNDS])
def test_what_contradicts_itself(faultnet, options, message):
    refused(faultnet("rank", CISTERN, *options), message)
    refused(faultnet("next", CISTERN, *options), message)


def test_same_answer_twice_is_one(small):
    once = small("rank", "-f", "prime-falls=slowly", "-f", "after-freeze=yes", "--json")
    options = [
        "-f",
        "prime-falls=slowly",
        "-f",
        "after-freeze=yes",
        "-l",
        "source-level=below-pump",
    ]
    twice = small("rank", *options, *options, "--json")
    assert (once.code, twice.code) == (0, 0)
    assert len(twice.json["evidence"]["rounds"][0]["answers"]) == 1


def test_two_grades_contradict(small):
    refused(small("rank", "-f", "prime-falls=slowly", "-f", "prime-falls=quickly"), "given twice")


def test_grade_that_does_not_exist(small):
    refused(small("rank", "-f", "prime-falls=quikly"), "no answer to prime-falls", "`quickly`")


def test_no_is_the_normal_answer_whatever_its_name(small):
    ran = small("rank", "-f", "prime-falls=no", "-f", "prime-falls=no")
    assert ran.code == 0


def test_escape_sequences_are_not_echoed(faultnet):
    ran = faultnet("rank", CISTERN, "-f", "\x1b[2Jred=yes")
    assert ran.code == 2
    assert "\x1b" not in ran.err


def test_text_that_is_not_utf_8(faultnet):
    ran = faultnet("rank", "caf\udce9")
    assert (ran.code, ran.out) == (2, "")
    assert "no system `caf?`" in ran.err


def test_impossible_evidence_shows_the_conflict(small):
    said = ["-f", "no-sound=yes", "-f", "no-pressure=yes", "-f", "prime-falls=no"]
    for command in ("rank", "next", "why"):
        ran = small(command, *said)
        assert ran.code == 1, command
        assert "cannot all be true" in ran.out
        assert "no-sound=yes" in ran.out
        assert "no-pressure=yes" in ran.out
        assert "knowledge/parts/suction.yaml:" in ran.out
        assert "prime-falls" not in ran.out
        told = small(command, *said, "--json")
        assert told.code == 1, command
        assert {each["about"] for each in told.json["conflict"]} == {"no-sound", "no-pressure"}
        assert all(each["line"].count(":") == 2 for each in told.json["conflict"])


def test_conflict_over_rounds_names_the_round(small):
    # A story that was true before a repair stays true: nothing mends what is no cause.
    said = ["-f", "1:no-sound=yes", "--mended", "1:prime-again"]
    ran = small("rank", *said, "-f", "no-sound=yes", "-f", "no-pressure=yes", "--json")
    assert ran.code == 1
    assert {each["round"] for each in ran.json["conflict"]} == {2}


@pytest.fixture
def narrow(monkeypatch):
    """Let nearly everything be too large."""
    monkeypatch.setattr("faultnet.inference.query.CELL_LIMIT", 4)


@pytest.mark.parametrize("command", ["rank", "next", "why"])
def test_too_large_is_refused_with_the_size(faultnet, narrow, command):
    said = ["-f", "no-pressure-build=yes", "-f", "air-at-taps=yes"]
    ran = faultnet(command, CISTERN, *said)
    assert (ran.code, ran.out) == (1, "")
    assert "Nothing was computed" in ran.err
    assert "cells and the limit is 4" in ran.err
    assert "leave out" in ran.err
    error = faultnet(command, CISTERN, *said, "--json").json["error"]
    assert error["kind"] == "too-large"
    assert error["cells"] > error["limit"] == 4
    assert error["leave_out"]
    assert error["dangers"] == []


@pytest.mark.parametrize("command", ["rank", "next", "why"])
def test_danger_is_told_even_where_nothing_is_computed(faultnet, narrow, command):
    ran = faultnet(command, CISTERN, "-f", "burnt-smell=yes", "-f", "air-at-taps=yes")
    assert ran.code == 1
    assert ran.out.startswith("DANGER")
    ran = faultnet(command, CISTERN, "-f", "burnt-smell=yes", "-f", "air-at-taps=yes", "--json")
    assert [danger["finding"] for danger in ran.json["error"]["dangers"]] == ["burnt-smell"]


@pytest.mark.parametrize("answer", ["yes", "no"])
def test_everything_answered_at_once_is_no_fault_of_ours(faultnet, answer):
    findings = faultnet("systems", CISTERN, "--json").json["findings"]
    said = [option for each in findings for option in ("-f", f"{each['id']}={answer}")]
    ran = faultnet("rank", CISTERN, *said)
    assert ran.code in {0, 1}
    assert ran.out or "Nothing was computed" in ran.err


@pytest.fixture
def broken(tmp_path):
    folder = tmp_path / "knowledge"
    shutil.copytree(SMALL, folder)
    part = folder / "parts" / "suction.yaml"
    part.write_text(part.read_text().replace("how-common: rare", "how-comon: rare"))
    words = folder / "words.yaml"
    words.write_text(words.read_text().replace("repair-succeeds: 0.95", "repair-succeeds: 9"))
    return folder


@pytest.mark.parametrize("command", ["rank", "next", "why"])
def test_broken_knowledge_tells_every_problem(faultnet, broken, command):
    ran = faultnet(command, "jet-pump", "--knowledge", broken)
    assert (ran.code, ran.out) == (1, "")
    assert "knowledge/parts/suction.yaml:" in ran.err
    assert "knowledge/words.yaml:" in ran.err
    error = faultnet(command, "jet-pump", "--knowledge", broken, "--json").json["error"]
    assert error["kind"] == "knowledge"
    assert {"unknown-key", "probability-out-of-range"} <= {p["code"] for p in error["problems"]}


def test_empty_folder_of_knowledge(faultnet, tmp_path):
    ran = faultnet("systems", "--knowledge", tmp_path)
    assert (ran.code, ran.out) == (1, "")
    assert "missing-file" in ran.err
