"""The loops under the arrays: those of the page where there is one, plain ones elsewhere.

A loop is asked through one block of numbers, as each value handed over by itself costs as much
as the call. Places are counted in numbers: the address over eight.
"""

from array import array
from importlib import import_module
from struct import Struct
from typing import Final, Protocol

ROOM: Final = 512
BLOCK: Final = array("d", bytes(8 * ROOM))
"""What is asked: first what a loop wants, in its order."""
PAGE: Final = "page_loops"
"""The name by which the page makes its loops known."""


class Loops(Protocol):
    """What is asked of loops; `page/loops.js` says what each one wants in the block."""

    def begin(self, block: int) -> None:
        """Learn where the block lies."""

    def plan(self) -> int:
        """Keep how some arrays are walked together; return the number of the plan."""

    def binary(self) -> None:
        """Make one number of two, all along a plan."""

    def unary(self) -> None:
        """Make one number of one, all along a plan."""

    def fold(self) -> None:
        """Fold numbers into those that are there."""

    def contract(self) -> None:
        """Add up products."""

    def choose(self) -> None:
        """Take from one or the other, as a third says."""

    def offsets(self) -> int:
        """Add up where picks along several axes lead; return 0 where one is out of its axis."""

    def gather(self) -> None:
        """Copy what is picked into a row."""

    def scatter(self) -> None:
        """Copy a row to what is picked."""

    def along(self) -> None:
        """Order, add up or look up along one axis."""

    def bounded(self) -> int:
        """Return whether all numbers in a row are counts that a double tells exactly."""


def _found() -> Loops:
    try:
        loops: Loops = import_module(PAGE)
    except ModuleNotFoundError:
        from faultnet.pocket.arrays.plain import PlainLoops

        loops = PlainLoops()
    loops.begin(place_of(BLOCK))
    return loops


def place_of(numbers: "array[float]") -> int:
    """Return where numbers begin."""
    return numbers.buffer_info()[0] >> 3


def _packer(count: int) -> Struct:
    return Struct(f"{count}d")


_LOOPS: Final = _found()
binary: Final = _LOOPS.binary
unary: Final = _LOOPS.unary
fold: Final = _LOOPS.fold
contract: Final = _LOOPS.contract
choose: Final = _LOOPS.choose
offsets: Final = _LOOPS.offsets
gather: Final = _LOOPS.gather
scatter: Final = _LOOPS.scatter
along: Final = _LOOPS.along
bounded: Final = _LOOPS.bounded
_plan: Final = _LOOPS.plan
THREE, FOUR, FIVE, SIX, EIGHT = (_packer(n).pack_into for n in (3, 4, 5, 6, 8))


def plan(shape: tuple[int, ...], steps: tuple[tuple[int, ...], ...]) -> int:
    """Return the number of the plan by which arrays are walked together.

    Raises `ValueError` for more axes than the block has room for.
    """
    asked = (len(shape), len(steps), *shape, *(s for each in steps for s in each))
    if len(asked) > ROOM:
        raise ValueError(f"{len(shape)} axes are more than the loops can walk")
    BLOCK[: len(asked)] = array("d", asked)
    return int(_plan())
