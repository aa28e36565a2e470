"""The page on readings names every reading and computation, with its parts, limit and figures."""

import re

import pytest

from faultnet.advice.subject import make_subject
from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.store import load
from faultnet.reckon.worked import COMPUTATIONS
from tests.advice.measured import weighed
from tests.docs.pages import ROOT, text_of

PAGE = text_of(ROOT / "docs" / "readings.md")
ROW = re.compile(r"^\| `([\w-]+)` \| ([^|]*) \|", re.MULTILINE)
FALLS = re.compile(r"^\| (4[\d.]+) \| ([\d.]+) \| ([\d.]+) \|", re.MULTILINE)


@pytest.fixture(scope="module")
def subject():
    return make_subject(load(shipped_folder()), "jet-pump-cistern")


def test_every_reading_stands_there_with_its_parts(subject):
    told = dict(ROW.findall(PAGE))
    for reading in subject.knowledge.readings.values():
        named = re.split(r"[ ,\[\]]+", told[reading.id].replace(" or ", " "))
        assert [part for part in named if part] == list(reading.takes)


def test_every_computation_stands_there_with_its_unit():
    told = dict(ROW.findall(PAGE))
    assert {name: told[name] for name in COMPUTATIONS} == {
        name: each.unit for name, each in COMPUTATIONS.items()
    }


def test_the_figures_of_a_fall_are_those_that_come(subject):
    rows = FALLS.findall(PAGE)
    assert len(rows) == 5
    for end, yes, no in rows:
        chances = weighed(subject, "hold", start=50, end=float(end), minutes=15)
        assert chances == pytest.approx({"yes": float(yes), "no": float(no)}, abs=0.006)


WORKED = [
    ("leak", {"start": 50, "end": 48.8, "minutes": 15, "tank": 119, "precharge": 28}, "yes", 0.95),
    ("vacuum", {"vacuum": 16, "lift": 12}, "vacuum-high", 0.63),
    (
        "vacuum",
        {"vacuum": 16, "lift": 12, "bore": 1.049, "length": 100, "flow": 8},
        "vacuum-high",
        0.14,
    ),
    (
        "vacuum",
        {"vacuum": 16, "lift": 12, "bore": 1.38, "length": 30, "flow": 8},
        "vacuum-high",
        1.0,
    ),
]


@pytest.mark.parametrize(("name", "parts", "answer", "chance"), WORKED)
def test_the_worked_figures_are_those_that_come(subject, name, parts, answer, chance):
    assert weighed(subject, name, **parts)[answer] == pytest.approx(chance, abs=0.006)
    assert f"{chance:.2f}" in PAGE
