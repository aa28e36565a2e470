"""What the arrays of the page do not do, they refuse: a wrong number never comes of it."""

import subprocess
import sys

import pytest

from tests.pocket.drawn import POCKET as P

TABLE = P.arange(6).reshape(2, 3)
REFUSED = {
    "another type": (TypeError, lambda: P.zeros(2, dtype=complex)),
    "a word": (TypeError, lambda: P.array("one")),
    "words": (TypeError, lambda: P.array(["one", "two"])),
    "an iterator": (TypeError, lambda: P.array(iter([1.0]))),
    "nothing": (TypeError, lambda: P.array([1.0, None])),
    "rows of unlike length": (ValueError, lambda: P.array([[1.0], [1.0, 2.0]])),
    "shapes that do not go together": (ValueError, lambda: P.ones((2, 3)) + P.ones((2, 2))),
    "a shape that does not fit": (ValueError, lambda: TABLE.reshape(4, 2)),
    "two open lengths": (ValueError, lambda: TABLE.reshape(-1, -1)),
    "a shape below nought": (ValueError, lambda: P.zeros((2, -1))),
    "a place outside": (IndexError, lambda: TABLE[2]),
    "a place outside, of several": (IndexError, lambda: TABLE[0, 3]),
    "a list with a place outside": (IndexError, lambda: TABLE[[0, 2]]),
    "too many places": (IndexError, lambda: TABLE[0, 0, 0]),
    "a float as place": (IndexError, lambda: TABLE[1.0]),
    "a float as place once a count was asked": (IndexError, lambda: (TABLE[1], TABLE[1.0])),
    "a truth as place": (IndexError, lambda: TABLE[True]),
    "floats as places": (IndexError, lambda: TABLE[P.array([0.0])]),
    "truths that do not fit": (IndexError, lambda: TABLE[P.array([True])]),
    "two rows of dots": (IndexError, lambda: TABLE[..., 0, ...]),
    "an axis that is not there": (IndexError, lambda: TABLE.sum(axis=2)),
    "an axis twice": (ValueError, lambda: TABLE.sum(axis=(0, -2))),
    "more than fits": (ValueError, lambda: _put(TABLE, 0, P.arange(2))),
    "floats into counts in place": (TypeError, lambda: _add(TABLE.copy(), 0.5)),
    "no number into counts": (OverflowError, lambda: _put(TABLE.copy(), (0, 0), P.nan)),
    "counts by nought": (OverflowError, lambda: TABLE // 0),
    "the rest of counts by nought": (OverflowError, lambda: TABLE % 0),
    "counts beyond what is exact": (OverflowError, lambda: P.array([2**60])),
    "counts shifted below nought": (OverflowError, lambda: TABLE << -1),
    "bits of floats": (TypeError, lambda: P.ones(2) & 1),
    "truths taken from truths": (TypeError, lambda: (TABLE > 1) - (TABLE > 2)),
    "the negative of truths": (TypeError, lambda: -(TABLE > 1)),
    "a single truth taken from another": (TypeError, lambda: (TABLE > 1).any() - (TABLE > 2).any()),
    "an order that is not stable": (ValueError, lambda: P.argsort([1.0], kind="heapsort")),
    "three arrays": (TypeError, lambda: P.einsum("a,a,a->a", [1.0], [1.0], [1.0])),
    "axes that are not named": (ValueError, lambda: P.einsum("a,b->a", TABLE, TABLE)),
    "no arrow": (ValueError, lambda: P.einsum("ab,ab", TABLE, TABLE)),
    "tables that do not go together": (ValueError, lambda: TABLE @ TABLE),
    "a part outside": (IndexError, lambda: P.add.reduceat(P.ones(3), [3])),
    "parts of another operation": (TypeError, lambda: P.multiply.reduceat(P.ones(3), [0])),
    "the largest of none": (ValueError, lambda: P.argmax([])),
    "an array of several as one": (ValueError, lambda: float(TABLE)),
    "whether several": (ValueError, lambda: bool(TABLE)),
    "an array as a place": (TypeError, lambda: range(P.ones(1))),
    "a key for a dictionary": (TypeError, lambda: {TABLE: 1}),
    "nothing to join": (ValueError, lambda: P.concatenate([])),
    "shapes that cannot be joined": (ValueError, lambda: P.concatenate([P.ones((2, 2)), TABLE])),
    "a method that is not there": (AttributeError, lambda: TABLE.std),
}


def _put(array, key, value):
    array[key] = value


def _add(array, value):
    array += value


@pytest.mark.parametrize("name", REFUSED)
def test_it_is_refused(name):
    error, work = REFUSED[name]
    with pytest.raises(error) as told:
        work()
    assert str(told.value)


STANDING = """
from faultnet.pocket.arrays.standing import stand_in
stand_in()
import numpy as np
import numpy.typing as npt
assert np is stand_in() and npt.NDArray[np.float64]
try:
    np.random
except AttributeError as told:
    print(told)
"""


def _run(text):
    return subprocess.run(
        [sys.executable, "-c", text], capture_output=True, text=True, check=False, timeout=60
    )


def test_a_name_that_is_not_there_is_told():
    done = _run(STANDING)
    assert done.stdout.strip() == "the arrays of the pocket page have no 'random'", done.stderr


def test_nothing_stands_in_for_numpy_once_it_is_there():
    done = _run("import numpy\nfrom faultnet.pocket.arrays.standing import stand_in\nstand_in()")
    assert "numpy itself is imported" in done.stderr
