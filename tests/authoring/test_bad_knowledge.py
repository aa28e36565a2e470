"""Each file of tests/bad_knowledge holds one fault and is told so, at its place.

The head of a file says where it stands in the knowledge and what must be told: a problem is
an error, a warning stands where the knowledge can be used.
"""

import re
import shutil
from pathlib import Path

import pytest

from faultnet.authoring.acceptance import sift
from faultnet.authoring.code import FACTS, WARNINGS
from faultnet.authoring.examples import read_examples
from faultnet.authoring.library import read_knowledge
from faultnet.authoring.lint import lint
from faultnet.authoring.problem import Problem

GOOD = Path(__file__).parent / "knowledge"
ALL = sorted((Path(__file__).parent.parent / "bad_knowledge").glob("*.yaml"))
HEAD = re.compile(r"^# (stands as|problem|warning): (.*)$", re.MULTILINE)
DOUBTFUL = [path for path in ALL if "\n# warning: " in path.read_text(encoding="utf-8")]
BAD = [path for path in ALL if path not in DOUBTFUL]
MORE_THAN_A_FILE = {"causes-no-finding-parts", "cause-without-case", "number-on-edge"}
"""Warnings that take a system that has the part, or a case in a file of its own.

What shows only when all is weighed together has its files in tests/review/bad_facts.
"""


def put(bad: Path, folder: Path) -> tuple[str, list[str]]:
    """Put a bad file into a copy of the good knowledge; return its place and what must be told."""
    shutil.copytree(GOOD, folder)
    heads = HEAD.findall(bad.read_text(encoding="utf-8"))
    place = next(text for key, text in heads if key == "stands as")
    (folder / place).parent.mkdir(exist_ok=True)
    shutil.copy(bad, folder / place)
    return place, [text for key, text in heads if key != "stands as"]


def warnings_of(folder: Path) -> tuple[Problem, ...]:
    """Return the warnings of knowledge without errors, but those no single file can avoid."""
    knowledge, problems = read_knowledge(folder)
    assert knowledge is not None, problems
    examples, _ = read_examples(folder, knowledge)
    found = sift(lint(knowledge, examples), knowledge.accepted).problems
    # No system has the part of a single file.
    told = (each for each in found if (each.code, each.entity) != ("named-nowhere", "trial"))
    return tuple(each for each in told if each.code not in MORE_THAN_A_FILE)


@pytest.fixture(scope="module")
def usual() -> frozenset[Problem]:
    return frozenset(warnings_of(GOOD))


def problems_of(bad: Path, folder: Path) -> tuple[Path, list[str], tuple[Problem, ...]]:
    """Read the good knowledge with a bad file in it."""
    place, expected = put(bad, folder)
    knowledge, problems = read_knowledge(folder)
    if place.endswith(".cases.yaml"):
        assert knowledge is not None
        _, problems = read_examples(folder, knowledge)
    else:
        assert knowledge is None
    return Path(place), expected, problems


@pytest.mark.parametrize("bad", BAD, ids=lambda bad: bad.stem)
def test_fault_is_told_at_its_place(bad: Path, tmp_path: Path) -> None:
    place, expected, problems = problems_of(bad, tmp_path / "knowledge")
    told = [f"{p.code} {p.line}:{p.column}" for p in problems]
    assert told == expected
    for problem in problems:
        assert problem.file == f"knowledge/{place.as_posix()}"
        assert problem.message.endswith(".")
        assert problem.severity == "error"
        assert problem.hint


@pytest.mark.parametrize("bad", DOUBTFUL, ids=lambda bad: bad.stem)
def test_doubt_is_told_at_its_place(bad: Path, tmp_path: Path, usual: frozenset[Problem]) -> None:
    place, expected = put(bad, tmp_path / "knowledge")
    (warning,) = [each for each in warnings_of(tmp_path / "knowledge") if each not in usual]
    assert [f"{warning.code} {warning.line}:{warning.column}"] == expected
    assert (warning.severity, warning.file) == ("warning", f"knowledge/{place}")
    assert warning.message.endswith(".")
    assert warning.hint.endswith(".")
    assert warning.entity


def test_each_warning_has_a_file_with_its_fault() -> None:
    shown = {code for path in DOUBTFUL for code in codes_of(path)}
    assert shown == WARNINGS - FACTS - MORE_THAN_A_FILE


def codes_of(bad: Path) -> list[str]:
    heads = HEAD.findall(bad.read_text(encoding="utf-8"))
    return [text.partition(" ")[0] for key, text in heads if key == "warning"]


def test_good_knowledge_has_no_problem() -> None:
    knowledge, problems = read_knowledge(GOOD)
    assert problems == ()
    assert knowledge is not None
    examples, problems = read_examples(GOOD, knowledge)
    assert problems == ()
    assert len(examples) == 2
