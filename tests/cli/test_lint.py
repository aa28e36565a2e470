"""`lint`: its forms, what is accepted, what a code means."""

import json
import shutil

import pytest

from tests.cli.conftest import SMALL
from tests.cli.terminal import Terminal

TITLE = "    title: Prime again\n"
ACCEPTED = "    accepted: {repair-without-proof: Seen at the next tap.}\n"


@pytest.fixture
def folder(tmp_path, monkeypatch):
    copy = tmp_path / "my-knowledge"
    shutil.copytree(SMALL, copy)
    part = copy / "parts/suction.yaml"
    text = part.read_text()
    assert text.count(TITLE) == 1
    part.write_text(text.replace(TITLE, TITLE + ACCEPTED))
    monkeypatch.chdir(tmp_path)
    return copy


def test_accepted_is_counted_and_listed_on_request(faultnet, folder):
    ran = faultnet("lint", folder)
    assert ran.code == 0
    assert ran.out.endswith("accepted with a reason\n")
    assert "Seen at the next tap." not in ran.out
    listed = faultnet("lint", folder, "--accepted").out
    assert "accepted [repair-without-proof] prime-again: " in listed
    assert "    Because: Seen at the next tap.\n" in listed


def test_json_lists_what_is_accepted(faultnet, folder):
    told = faultnet("lint", folder, "--format", "json").json
    assert told == faultnet("lint", folder, "--json").json
    (accepted,) = told["accepted"]
    assert accepted["code"] == "repair-without-proof"
    assert accepted["reason"] == "Seen at the next tap."
    assert accepted["accepted_line"] == accepted["line"] + 2
    assert "repair-without-proof" not in {each["code"] for each in told["problems"]}


def test_sarif_is_the_log_alone(faultnet, folder):
    ran = faultnet("lint", "my-knowledge", "--format", "sarif")
    assert (ran.code, ran.err) == (0, "")
    log = json.loads(ran.out)
    assert log["version"] == "2.1.0"
    assert "schema_version" not in log
    (run,) = log["runs"]
    files = {
        location["physicalLocation"]["artifactLocation"]["uri"]
        for result in run["results"]
        for location in result["locations"]
    }
    assert all((folder.parent / file).is_file() for file in files)


def test_sarif_of_broken_knowledge(faultnet, folder):
    (folder / "rates.yaml").write_text("- not: rates\n")
    ran = faultnet("lint", folder, "--format", "sarif")
    assert ran.code == 1
    levels = {result["level"] for result in json.loads(ran.out)["runs"][0]["results"]}
    assert levels == {"error"}


def test_strict_counts_what_is_not_accepted(faultnet, folder):
    assert faultnet("lint", folder, "--strict", "--format", "sarif").code == 1


def test_code_is_explained(faultnet):
    ran = faultnet("lint", "--explain", "repair-without-proof")
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.startswith("repair-without-proof: a warning\n")
    assert "The fault:" in ran.out
    assert "The mend:" in ran.out
    assert "an error" in faultnet("lint", "--explain", "unreadable").out


def test_unknown_code_is_refused_with_the_nearest(faultnet):
    ran = faultnet("lint", "--explain", "repair-without-prof")
    assert (ran.code, ran.out) == (2, "")
    assert "Did you mean `repair-without-proof`?" in ran.err


def test_shipped_knowledge_passes_strictly(faultnet):
    """What is accepted there says why; nothing stands."""
    ran = faultnet("lint", "--strict", "--json")
    assert ran.code == 0
    assert (ran.json["errors"], ran.json["warnings"]) == (0, 0)
    assert all(len(each["reason"].split()) > 8 for each in ran.json["accepted"])


def test_at_a_narrow_terminal_words_stay_whole(folder):
    terminal = Terminal("lint", folder, "--accepted", columns=40)
    assert terminal.ended() == 0
    lines = terminal.plain.splitlines()
    assert any(line.startswith("my-knowledge/parts/suction.yaml:") for line in lines)
    assert max(len(line) for line in lines if " " in line.strip()) <= 40
    assert "    Because: Seen at the next tap." in lines
