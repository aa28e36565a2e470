"""An array: numbers in memory, and how they lie."""

from array import array
from typing import Final

from faultnet.pocket.arrays.kinds import BOOL, FLOAT, INT
from faultnet.pocket.arrays.layout import Layout, layout_of
from faultnet.pocket.arrays.loops import place_of
from faultnet.pocket.arrays.number import Number, Truth

NOUGHT: Final = array("d", [0.0])
DTYPES: Final[tuple[type, ...]] = (bool, int, float)
READERS: Final[dict[int, type[int] | type[float]]] = {BOOL: bool, INT: int, FLOAT: float}
Scalar = Number | Truth | int


class Array:
    """Numbers in memory, and how they lie; arithmetic and picking are given to it in `manner`.

    `buf` holds the numbers, the first at `buf[at]`, which lies at `place` in memory; where an
    array is `fixed`, nothing may be written through it.
    """

    __slots__ = ("at", "buf", "fixed", "kind", "layout", "place")

    def __init__(
        self,
        buf: "array[float]",
        at: int,
        place: int,
        layout: Layout,
        kind: int,
        fixed: bool = False,
    ) -> None:
        self.buf = buf
        self.at = at
        self.place = place
        self.layout = layout
        self.kind = kind
        self.fixed = fixed

    @property
    def shape(self) -> tuple[int, ...]:
        """The lengths of the axes."""
        return self.layout.shape

    @property
    def ndim(self) -> int:
        """How many axes there are."""
        return self.layout.ndim

    @property
    def size(self) -> int:
        """How many numbers there are."""
        return self.layout.size

    @property
    def dtype(self) -> type:
        """What it holds: float, int or bool."""
        return DTYPES[self.kind]

    @property
    def flags(self) -> "Flags":
        """Whether it may be written."""
        return Flags(self)

    @property
    def turned(self) -> "Array":
        """The same numbers with the axes turned round."""
        layout = self.layout
        return self.lain(0, layout_of(layout.shape[::-1], layout.steps[::-1]))

    def lain(self, offset: int, layout: Layout) -> "Array":
        """Return a view: the same numbers from an offset on, in another layout."""
        return Array(self.buf, self.at + offset, self.place + offset, layout, self.kind, self.fixed)

    def __hash__(self) -> int:
        raise TypeError("an array has no hash: arrays are compared number by number")

    def __len__(self) -> int:
        if not self.layout.shape:
            raise TypeError("a single number has no length")
        return self.layout.shape[0]

    def single(self) -> Scalar:
        """Return the first number."""
        return scalar(self.buf[self.at], self.kind)

    def item(self) -> float:
        """Return the one number that there is; a `ValueError` where there are more."""
        if self.layout.size != 1:
            raise ValueError(f"an array of shape {self.shape} is not a single number")
        return READERS[self.kind](self.buf[self.at])

    def __float__(self) -> float:
        return float(self.item())

    def __int__(self) -> int:
        return int(self.item())

    def __index__(self) -> int:
        if self.kind != INT or self.layout.shape:
            raise TypeError("only a single count is a place")
        return int(self.item())

    def __bool__(self) -> bool:
        return bool(self.item())

    def writable(self) -> None:
        """Raise `ValueError` where nothing may be written."""
        if self.fixed:
            raise ValueError("assignment destination is read-only")


class Flags:
    """Whether an array may be written."""

    __slots__ = ("_array",)

    def __init__(self, of: Array) -> None:
        self._array = of

    @property
    def writeable(self) -> bool:
        """Whether something may be written through the array."""
        return not self._array.fixed

    @writeable.setter
    def writeable(self, value: bool) -> None:
        if value and self._array.fixed:
            raise ValueError("what is fixed stays fixed")
        self._array.fixed = not value


def scalar(value: float, kind: int) -> Scalar:
    """Return a number out of an array of some kind."""
    if kind == FLOAT:
        return Number(value)
    return Truth(value) if kind == BOOL else int(value)


def fresh(layout: Layout, kind: int) -> Array:
    """Return an array of noughts that lie in a row."""
    buf = NOUGHT * layout.size
    return Array(buf, 0, place_of(buf), layout, kind)


def lie_in(numbers: "array[float]", layout: Layout, kind: int) -> Array:
    """Return an array of numbers that lie as a layout in a row says."""
    return Array(numbers, 0, place_of(numbers), layout, kind)
