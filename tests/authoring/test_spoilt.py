"""Spoilt files: some tried anew each time, and what was found wrong with the telling before."""

import shutil
from pathlib import Path

import pytest

from faultnet.authoring.library import read_knowledge
from faultnet.authoring.problem import problem
from faultnet.model.origin import Origin
from faultnet.review.facts import facts
from tests.authoring.fuzz import BASES, tries

COUNT = 600
SMALL = BASES[:1] + BASES[2:4]


def test_spoilt_files_are_told_in_their_place() -> None:
    done = tries(7, range(COUNT), bases=SMALL)
    assert not [each for each in done if each.fault]
    told = {code for each in done for code in each.codes}
    assert len(told) >= 25
    assert sum(not each.codes for each in done) < COUNT / 2


def test_the_same_seed_spoils_alike() -> None:
    first, again = (tries(3, range(40, 60), bases=SMALL) for _ in range(2))
    assert [(t.spoilt, t.codes) for t in first] == [(t.spoilt, t.codes) for t in again]


@pytest.mark.parametrize(
    ("text", "code", "line", "column"),
    [
        ("from: judgement\nlayout: {a: [1", "syntax", 2, 15),
        ("from: judgement\nlayout: {a: [1\n", "syntax", 3, 1),
        ("from: judgement\rlayout: {}\r\x01", "not-text", 3, 1),
        ("\ufefffrom: \u00e4\u00e4\u00e4\x7f", "not-text", 1, 10),
        ("from: judgement\nlayout: {}  # one\u2028two", "not-text", 2, 18),
        ("from: judgement\x85layout: {}", "not-text", 1, 16),
    ],
)
def test_the_place_is_in_the_file(
    folder: Path, text: str, code: str, line: int, column: int
) -> None:
    (folder / "layout.yaml").write_bytes(text.encode())
    told = [p for p in read_knowledge(folder)[1] if p.file.endswith("layout.yaml")]
    assert [(each.code, each.line, each.column) for each in told] == [(code, line, column)]


def test_what_is_quoted_can_be_seen_and_is_short(folder: Path) -> None:
    (folder / "circumstances.yaml").write_text(
        f'from: judgement\ncircumstances:\n  "a\\nb\\u202ec": 3\n  {"x" * 900}: 4\n'
    )
    told = [p for p in read_knowledge(folder)[1] if p.file.endswith("circumstances.yaml")]
    assert len(told) >= 2
    texts = [each.entity + each.message + each.hint for each in told]
    assert all(text.isprintable() and len(text) < 1500 for text in texts)


@pytest.mark.parametrize("unit", ["[]", "{}", "null", "''"])
def test_a_reading_without_a_unit_is_told(folder: Path, unit: str) -> None:
    part = folder / "parts/suction.yaml"
    text = part.read_text()
    assert text.count("end: psi") == 1
    part.write_text(text.replace("end: psi", f"end: {unit}"))
    told = read_knowledge(folder)[1]
    assert "wrong-type" in {each.code for each in told}


def test_a_long_quotation_is_cut() -> None:
    told = problem("wrong-type", Origin("parts/trial.yaml", 1, 1), "x" * 9000, "y" * 9000)
    assert len(told.message) == len(told.hint) == 500
    assert told.message.endswith("...")


def test_a_system_in_which_nothing_can_be_wrong_is_passed_over(tmp_path: Path) -> None:
    folder = tmp_path / "knowledge"
    shutil.copytree(BASES[3][0], folder)
    part = folder / "parts/two-faults.yaml"
    part.write_text("part: two-faults\ntitle: Two faults\nabout: None yet.\n")
    knowledge, problems = read_knowledge(folder)
    assert knowledge is not None, problems
    assert isinstance(facts(knowledge, ()), tuple)


@pytest.mark.parametrize("speaker", ["caller", "technician"])
def test_what_the_word_of_each_is_worth_must_stand(folder: Path, speaker: str) -> None:
    words = folder / "words.yaml"
    lines = words.read_text().splitlines()
    words.write_text("\n".join(each for each in lines if not each.startswith(f"  {speaker}: ")))
    (told,) = read_knowledge(folder)[1]
    assert (told.code, told.line > 0) == ("missing-key", True)
    assert speaker in told.message


def test_a_repair_that_costs_nothing_is_weighed(tmp_path: Path) -> None:
    folder = tmp_path / "knowledge"
    shutil.copytree(BASES[2][0], folder)
    part = folder / "parts/four-faults.yaml"
    text = part.read_text()
    assert "Mend fault B, minutes: 40" in text
    part.write_text(text.replace("Mend fault B, minutes: 40", "Mend fault B, minutes: 0"))
    knowledge, problems = read_knowledge(folder)
    assert knowledge is not None, problems
    assert isinstance(facts(knowledge, ()), tuple)
