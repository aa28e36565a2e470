"""`lint` and `prove`: what authors are told."""

import shutil

import pytest

from tests.cli.conftest import SMALL

CASES = """
from: judgement
cases:
  - id: sound-case
    system: jet-pump
    reason: The level sinks.
    given: {prime-falls: slowly}
    expect:
      first: [foot-valve-leaks]
      top-3: [foot-valve-leaks, prime-lost]
      before: [[foot-valve-leaks, pipe-cracked]]
      at-least: {foot-valve-leaks: 0.2}
  - id: all-wrong
    system: jet-pump
    reason: Everything in it is wrong.
    given: {prime-falls: slowly}
    expect:
      first: [pipe-cracked]
      top-1: [prime-lost]
      before: [[pipe-cracked, foot-valve-leaks]]
      at-least: {pipe-cracked: 0.99}
      next: [listen]
      danger: tingle
  - id: cannot-be
    system: jet-pump
    reason: A silent motor hides the pressure.
    given: {no-sound: yes, no-pressure: yes}
    expect: {first: [prime-lost]}
  - id: somebody-was-shocked
    system: jet-pump
    reason: Danger comes before cost.
    given: {tingle: yes}
    expect: {danger: tingle}
"""


@pytest.fixture
def folder(tmp_path):
    copy = tmp_path / "knowledge"
    shutil.copytree(SMALL, copy)
    for path in copy.rglob("*.cases.yaml"):
        path.unlink()
    (copy / "own.cases.yaml").write_text(CASES)
    return copy


def test_prove_tells_what_was_expected_and_what_came(faultnet, folder):
    ran = faultnet("prove", folder, "--json")
    assert (ran.code, ran.err) == (1, "")
    told = ran.json
    assert (told["cases"], told["failed"], told["problems"]) == (4, 2, [])
    results = {result["id"]: result for result in told["results"]}
    assert results["sound-case"]["passed"]
    assert results["somebody-was-shocked"]["passed"]
    wrong = results["all-wrong"]
    missed = [miss["expectation"] for miss in wrong["misses"]]
    assert missed == ["first", "top-1", "before", "at-least", "danger", "next"]
    assert wrong["place"] == "knowledge/own.cases.yaml:13:5"
    assert len(wrong["top"]) == 3
    (impossible,) = results["cannot-be"]["misses"]
    assert impossible["expectation"] == "given"
    assert "no-sound=yes" in impossible["came"]


def test_prove_on_the_screen(faultnet, folder):
    ran = faultnet("prove", folder)
    assert (ran.code, ran.err) == (1, "")
    assert "all-wrong fails" in ran.out
    assert "first: expected pipe-cracked" in ran.out
    assert "came: foot-valve-leaks is number 1 with" in ran.out
    assert "Everything in it is wrong." in ran.out
    assert "sound-case" not in ran.out
    assert ran.out.endswith("4 cases, 2 fail.\n")


def test_prove_of_sound_cases(faultnet, folder):
    (folder / "own.cases.yaml").write_text(CASES.partition("  - id: all-wrong")[0])
    ran = faultnet("prove", folder)
    assert (ran.code, ran.out) == (0, "1 case, 0 fail.\n")


def test_prove_of_no_cases(faultnet, folder):
    (folder / "own.cases.yaml").unlink()
    ran = faultnet("prove", folder)
    assert (ran.code, ran.out) == (0, "No cases.\n")


def test_prove_with_a_problem_in_a_case(faultnet, folder):
    text = CASES.replace("given: {tingle: yes}", "given: {tinglle: yes}")
    (folder / "own.cases.yaml").write_text(text)
    ran = faultnet("prove", folder, "--json")
    assert ran.code == 1
    assert [problem["code"] for problem in ran.json["problems"]] == ["unknown-id"]
    shown = faultnet("prove", folder).out
    assert "Did you mean `tingle`?" in shown
    assert "Problems in the files of cases: 1." in shown


def test_prove_and_lint_of_broken_knowledge(faultnet, folder):
    words = folder / "words.yaml"
    words.write_text(words.read_text().replace("repair-succeeds: 0.95", "repair-succeeds: 9"))
    for command in ("prove", "lint"):
        ran = faultnet(command, folder)
        assert ran.code == 1
        assert "[probability-out-of-range]" in ran.out + ran.err
        assert "Traceback" not in ran.out + ran.err


def test_lint_counts(faultnet, folder):
    ran = faultnet("lint", folder, "--json")
    assert (ran.code, ran.err) == (0, "")
    told = ran.json
    assert told["errors"] == 0
    assert told["warnings"] == len(told["problems"]) > 0
    assert {"severity", "code", "file", "line", "column", "message"} <= set(told["problems"][0])
    assert faultnet("lint", folder).out.endswith(f"0 errors, {told['warnings']} warnings\n")


def test_lint_strict_counts_warnings(faultnet, folder):
    assert faultnet("lint", folder, "--strict").code == 1
    assert faultnet("lint", folder, "--strict", "--json").code == 1


def test_lint_tells_all_errors_at_once(faultnet, folder):
    part = folder / "parts" / "suction.yaml"
    part.write_text(part.read_text().replace("how-common: rare", "how-comon: rare"))
    (folder / "rates.yaml").write_text("- not: rates\n")
    ran = faultnet("lint", folder, "--json")
    assert ran.code == 1
    assert {"knowledge/parts/suction.yaml", "knowledge/rates.yaml"} <= {
        problem["file"] for problem in ran.json["problems"]
    }


def test_shipped_knowledge_has_no_error(faultnet):
    ran = faultnet("lint", "--json")
    assert ran.code == 0
    assert ran.json["errors"] == 0
