"""Each file of tests/bad_knowledge holds one fault and is told so, at its place.

The head of a file says where it stands in the knowledge and what must be told.
"""

import re
import shutil
from pathlib import Path

import pytest

from faultnet.authoring.examples import read_examples
from faultnet.authoring.library import read_knowledge
from faultnet.authoring.problem import Problem

GOOD = Path(__file__).parent / "knowledge"
BAD = sorted((Path(__file__).parent.parent / "bad_knowledge").glob("*.yaml"))
HEAD = re.compile(r"^# (stands as|problem): (.*)$", re.MULTILINE)


def problems_of(bad: Path, folder: Path) -> tuple[Path, list[str], tuple[Problem, ...]]:
    """Put a bad file into a copy of the good knowledge and read that."""
    shutil.copytree(GOOD, folder)
    heads = HEAD.findall(bad.read_text(encoding="utf-8"))
    place = next(text for key, text in heads if key == "stands as")
    (folder / place).parent.mkdir(exist_ok=True)
    shutil.copy(bad, folder / place)
    knowledge, problems = read_knowledge(folder)
    if place.endswith(".cases.yaml"):
        assert knowledge is not None
        _, problems = read_examples(folder, knowledge)
    else:
        assert knowledge is None
    return Path(place), [text for key, text in heads if key == "problem"], problems


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


def test_good_knowledge_has_no_problem() -> None:
    knowledge, problems = read_knowledge(GOOD)
    assert problems == ()
    assert knowledge is not None
    examples, problems = read_examples(GOOD, knowledge)
    assert problems == ()
    assert len(examples) == 2
