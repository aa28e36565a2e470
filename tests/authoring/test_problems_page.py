"""docs/problems.md knows every code, and its examples are what it says they are."""

import re
from collections import Counter
from pathlib import Path

import pytest

from faultnet.authoring.acceptance import sift
from faultnet.authoring.code import CODES
from faultnet.authoring.examples import read_examples
from faultnet.authoring.library import read_knowledge
from faultnet.authoring.lint import lint
from faultnet.review.facts import facts

PAGE = Path(__file__).parents[2] / "docs/problems.md"
SECTION = re.compile(r"^### `([a-z0-9-]+)`$(.*?)(?=^##|\Z)", re.MULTILINE | re.DOTALL)
BOX = re.compile(r"^```yaml\n# (\S+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
HEAD = "part: trial\ntitle: Trial\nfrom: judgement\n"
SECTIONS = dict(SECTION.findall(PAGE.read_text(encoding="utf-8")))
SHOWN = [code for code, text in SECTIONS.items() if BOX.search(text)]
FEW_LINES_CANNOT_SHOW_IT = {
    "unreadable", "link-loop", "too-large", "not-utf-8", "not-text", "misplaced-file",
    "missing-file", "cause-without-case", "layout-never-asked", "facts-not-weighed",
    "number-on-edge", "learnt-not-as-listed",
}  # fmt: skip


def told(folder: Path, place: str, text: str) -> tuple[Counter[str], Counter[str]]:
    """Return the codes of errors and of warnings for good knowledge with one more file."""
    headless = place.startswith("parts/") and not text.startswith(("part:", "#"))
    (folder / place).write_text(HEAD * headless + text, encoding="utf-8")
    if place == "parts/trial.yaml":
        system = folder / "systems/jet-pump.yaml"
        system.write_text(system.read_text().replace("[suction]", "[suction, trial]"))
    knowledge, problems = read_knowledge(folder)
    if knowledge is None:
        return Counter(each.code for each in problems), Counter()
    examples, problems = read_examples(folder, knowledge)
    found = (*lint(knowledge, examples), *facts(knowledge, examples))
    warnings = sift(found, knowledge.accepted).problems
    return Counter(each.code for each in problems), Counter(each.code for each in warnings)


def test_page_has_just_the_codes_there_are() -> None:
    assert tuple(SECTIONS) == CODES


def test_all_that_can_be_shown_is_shown() -> None:
    assert set(SHOWN) == set(CODES) - FEW_LINES_CANNOT_SHOW_IT


@pytest.mark.parametrize("code", SHOWN)
def test_fault_is_told_and_mend_is_not(code: str, folder: Path) -> None:
    (place, fault), (same_place, mend) = BOX.findall(SECTIONS[code])
    assert place == same_place
    errors, warnings = told(folder, place, fault)
    no_errors, fewer_warnings = told(folder, place, mend)
    assert no_errors == Counter()
    if errors:
        assert set(errors) == {code}
    else:
        assert (warnings - fewer_warnings)[code] == 1
