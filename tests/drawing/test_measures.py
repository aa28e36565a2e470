"""The picture of measures: the same each time, in grey, with every name on it."""

import re

import pytest

from faultnet.advice.subjects import Subjects
from faultnet.authoring.store import load
from faultnet.drawing.measures import drawn
from faultnet.learning.measures.measured import measured
from faultnet.learning.measures.sums import Sums
from faultnet.sharing.sharing import Here
from tests.cli.conftest import SMALL
from tests.learning.measures.cases import Parts, imagined

pytest.importorskip("matplotlib")


@pytest.fixture(scope="module")
def sums():
    subjects = Subjects(load(SMALL))
    return measured(subjects, Parts(imagined(subjects["jet-pump"], 5, 40), 10), Here())


@pytest.fixture(scope="module")
def svg(sums):
    return drawn(sums, "year", "svg")


def test_the_same_figures_make_the_same_picture(sums, svg):
    assert drawn(sums, "year", "svg") == svg


def test_it_can_be_printed_without_colour(svg):
    for colour in set(re.findall(rb"#([0-9a-f]{6})", svg)):
        assert colour[:2] == colour[2:4] == colour[4:]


def test_what_is_drawn_can_be_read(svg):
    for told in (
        b"How well it did on 40 closed cases",
        b"told, %",
        b"before the repair",
        b">2025<",
    ):
        assert told in svg


@pytest.mark.parametrize(("kind", "begins"), [("png", b"\x89PNG"), ("pdf", b"%PDF")])
def test_other_forms_and_nothing_to_draw(kind, begins):
    assert drawn(Sums(), "month", kind).startswith(begins)
