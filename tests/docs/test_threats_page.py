"""Each threat on the page has what stands against it, and a test that exists."""

import ast
import re

import pytest

from faultnet.accounts import entrance, password, sessions, tries
from faultnet.cli import serve
from faultnet.web.safe import body, gate
from tests.docs.pages import ROOT, text_of

PAGE = text_of(ROOT / "docs" / "threats.md")
ROWS = [
    [cell.strip() for cell in line.strip("|").split("|")]
    for line in PAGE.splitlines()
    if line.startswith("| ") and not line.startswith("| threat")
]
NAMED = re.compile(r"`(tests/[\w/]+\.py)::(test_\w+)`")


def test_there_are_threats():
    assert len(ROWS) >= 25
    assert all(len(row) == 3 for row in ROWS)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row[0][:50])
def test_a_threat_has_a_test_that_exists(row):
    threat, against, tests = row
    assert threat
    assert against
    named = NAMED.findall(tests)
    assert named
    assert NAMED.sub("", tests).strip(" ,") == ""
    for file, name in named:
        tree = ast.parse(text_of(ROOT / file))
        assert name in {each.name for each in tree.body if isinstance(each, ast.FunctionDef)}


def test_the_figures_are_those_that_count():
    told = " ".join(PAGE.split())
    for words in (
        f"{entrance.MOST_HERE} failures of a name from one address in {tries.WINDOW / 60:.0f} min",
        f"{entrance.MOST_OF_NAME} from anywhere",
        f"{entrance.MOST_OF_ADDRESS} failures from one address",
        f"{password.SHORTEST} characters at least",
        f"after {sessions.IDLE / 3600:.0f} hours without a request",
        f"after {sessions.LONGEST / 86400:.0f} days in any case",
        f"{body.LARGEST // 1024} kB, {body.PATIENCE:.0f} seconds, {serve.MOST} at a time",
        f"noted {gate.BAD_TOKENS} times per address",
    ):
        assert words in told
