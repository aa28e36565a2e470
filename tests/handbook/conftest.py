"""The book of the shipped knowledge and a small one, made once; a real browser."""

from pathlib import Path

import pytest

from faultnet.authoring.library import read_knowledge
from faultnet.cli.pictures import pictures
from faultnet.handbook.book import handbook
from tests.web import serving

ROOT = Path(__file__).parents[2]
DAY = "2026-03-04"


@pytest.fixture(scope="session")
def known():
    return read_knowledge(ROOT / "knowledge")[0]


@pytest.fixture(scope="session")
def small():
    return read_knowledge(ROOT / "tests" / "authoring" / "knowledge")[0]


@pytest.fixture(scope="session")
def book(known):
    return handbook(known, DAY, picture=pictures(known, None, inside=True))


@pytest.fixture(scope="session")
def small_book(small):
    return handbook(small, DAY, picture=pictures(small, None, inside=True))


@pytest.fixture(scope="module")
def chromium():
    """A real browser."""
    with serving.browser() as chromium:
        yield chromium
