"""Errors arrive as what they were, with the part told; passwords are not."""

import pickle
from pathlib import Path

import pytest

from faultnet.advice.subject import UnknownNameError
from faultnet.authoring.library import read_knowledge
from faultnet.authoring.problem import KnowledgeError
from faultnet.sharing.crossing import SHORT, crossed, crossing, short
from faultnet.sharing.trouble import PartFailedError

BAD = Path(__file__).parents[1] / "bad_knowledge"
_, PROBLEMS = read_knowledge(BAD)


class HeldError(Exception):
    """Holds what cannot be sent."""

    def __init__(self, reason):
        super().__init__(reason)
        self.held = lambda: None


ERRORS = [
    UnknownNameError("cause", "foot-valve", ["foot-valve-leaks"]),
    KnowledgeError(PROBLEMS),
    FileNotFoundError(2, "No such file", "cases.parquet"),
    UnicodeDecodeError("utf-8", b"\xff", 0, 1, "invalid start byte"),
    KeyError("jet-pump"),
]


def raised(error):
    with pytest.raises(type(error)) as met:
        raise error
    return met.value


@pytest.mark.parametrize("error", ERRORS, ids=lambda error: type(error).__name__)
def test_an_error_arrives_as_what_it_was(error):
    sent = pickle.dumps(crossing(raised(error)))
    found = crossed(pickle.loads(sent), 3, "cases.parquet")  # noqa: S301 made just now
    assert (type(found), str(found)) == (type(error), str(error))
    assert found.__dict__.keys() - {"__notes__"} == error.__dict__.keys()
    assert "Part 3 of the work: 'cases.parquet'" in found.__notes__[0]
    assert "in raised" in found.__notes__[0]


def test_what_cannot_be_sent_is_told():
    found = crossed(crossing(raised(HeldError("stuck"))), 3, "cases.parquet")
    assert isinstance(found, PartFailedError)
    assert str(found) == "Part 3 of the work, 'cases.parquet': HeldError: stuck"


@pytest.mark.parametrize(
    "address",
    ["postgresql://office:se-cret@db:5432/cases", "postgresql+psycopg://:se-cret@db/cases"],
)
def test_a_password_is_not_told(address):
    assert "se-cret" not in short(address)
    assert "@db" in short(address)


def test_a_long_part_is_cut():
    assert len(short("x" * 1000)) == SHORT + 4
    assert short("at 10:30") == "'at 10:30'"
