"""How an array lies over its numbers. Of each way there is one object, which keeps its plans."""

from itertools import pairwise
from math import prod
from typing import Final, NamedTuple

from faultnet.pocket.arrays.loops import plan

Ints = tuple[int, ...]


class Pick(NamedTuple):
    """How numbers are picked: what lies where, whatever the places are.

    `base` is how far off the first number is; `made` the layout of what is picked; `shape` that
    of the places together; `axes` has length and step of the axis of each of them. Picks are
    `tail` apart in what is made; `gather` and `scatter` are the plans for the rest of the axes.
    """

    base: int
    made: "Layout"
    shape: Ints
    axes: tuple[Ints, ...]
    tail: int
    plan: int


class Layout:
    """Lengths and steps of the axes, in numbers; `row` where they lie one behind the other.

    Made by `layout_of` alone. What it meets is kept: `pairs` has, for another layout, the layout
    of what an operation makes of both and the plan of its loop; the others alike.
    """

    __slots__ = (
        "copies",
        "folds",
        "ndim",
        "onto",
        "pairs",
        "picks",
        "products",
        "row",
        "rows",
        "shape",
        "size",
        "steps",
        "views",
    )

    def __init__(self, shape: Ints, steps: Ints) -> None:
        self.shape = shape
        self.steps = steps
        self.size = prod(shape)
        self.ndim = len(shape)
        self.row = _in_row(shape, steps)
        self.pairs: dict[Layout, tuple[Layout, int]] = {}
        self.onto: dict[tuple[Layout, Layout], int] = {}
        self.copies: dict[Layout, int] = {}
        self.views: dict[object, tuple[int, Layout]] = {}
        self.rows: dict[int, tuple[int, Layout]] = {}
        self.folds: dict[object, tuple[Layout, int, int]] = {}
        self.picks: dict[object, Pick] = {}
        self.products: dict[object, tuple[Layout, int]] = {}

    def pair(self, other: "Layout") -> "tuple[Layout, int]":
        """Return the layout of what is made of two, and its plan."""
        shape = self.shape if self.shape == other.shape else together(self.shape, other.shape)
        made = row_of(shape)
        found = self.pairs[other] = made, made.loop(self, other)
        return found

    def loop(self, one: "Layout", other: "Layout") -> int:
        """Return the plan for putting what is made of two into an array that lies so."""
        known = self.onto.get((one, other))
        if known is None:
            steps = (self.steps, spread(one, self.shape), spread(other, self.shape))
            known = self.onto[one, other] = plan(self.shape, steps)
        return known

    def copied(self, other: "Layout") -> int:
        """Return the plan for putting an array of another layout into one that lies so."""
        known = self.copies.get(other)
        if known is None:
            while other.ndim > self.ndim and other.shape[0] == 1:
                other = layout_of(other.shape[1:], other.steps[1:])
            known = plan(self.shape, (self.steps, spread(other, self.shape)))
            self.copies[other] = known
        return known


_KNOWN: Final[dict[tuple[Ints, Ints], Layout]] = {}
ROWS: Final[dict[Ints, Layout]] = {}


def layout_of(shape: Ints, steps: Ints) -> Layout:
    """Return the layout with these lengths and steps."""
    key = shape, steps
    known = _KNOWN.get(key)
    if known is None:
        known = _KNOWN[key] = Layout(shape, steps)
    return known


def row_of(shape: Ints) -> Layout:
    """Return the layout in which the numbers lie in a row, the last axis fastest."""
    known = ROWS.get(shape)
    if known is None:
        known = ROWS[shape] = layout_of(shape, row_steps(shape))
    return known


def row_steps(shape: Ints) -> Ints:
    """Return the steps of numbers that lie in a row."""
    return tuple(prod(shape[k + 1 :]) for k in range(len(shape)))


def together(*shapes: Ints) -> Ints:
    """Return the shape of arrays that are walked together; a `ValueError` if they do not fit."""
    most = max(map(len, shapes), default=0)
    result = []
    for lengths in zip(*((1,) * (most - len(s)) + s for s in shapes), strict=True):
        long = {n for n in lengths if n != 1}
        if len(long) > 1:
            raise ValueError(f"shapes {' and '.join(map(str, shapes))} do not go together")
        result.append(long.pop() if long else 1)
    return tuple(result)


def spread(layout: Layout, shape: Ints) -> Ints:
    """Return the steps of a layout when it is walked as a wider shape."""
    if layout.shape == shape:
        return layout.steps
    lead = len(shape) - layout.ndim
    if lead < 0 or together(layout.shape, shape) != shape:
        raise ValueError(f"an array of shape {layout.shape} does not fit into {shape}")
    pairs = zip(layout.shape, layout.steps, shape[lead:], strict=True)
    return (0,) * lead + tuple(0 if n == 1 and wide != 1 else s for n, s, wide in pairs)


def restepped(layout: Layout, shape: Ints) -> Ints | None:
    """Return the steps of the same numbers in another shape; None where they must be copied."""
    if layout.row:
        return row_steps(shape)
    old = [(n, s) for n, s in zip(layout.shape, layout.steps, strict=True) if n != 1]
    new = [n for n in shape if n != 1]
    found: list[int] = []
    while old:
        here = _alike(old, new)
        steps = _parted(old[: here[0]], new[: here[1]])
        if steps is None:
            return None
        found += steps
        old, new = old[here[0] :], new[here[1] :]
    each = iter(found)
    return tuple(0 if n == 1 else next(each) for n in shape)


def _alike(old: list[tuple[int, int]], new: list[int]) -> tuple[int, int]:
    """Return how many of the first axes of two shapes hold the same count of numbers."""
    a = b = 1
    held, wanted = old[0][0], new[0]
    while held != wanted:
        if held < wanted:
            held *= old[a][0]
            a += 1
        else:
            wanted *= new[b]
            b += 1
    return a, b


def _parted(old: list[tuple[int, int]], new: list[int]) -> list[int] | None:
    """Return the steps of the axes that take the place of some; None where those are apart."""
    if any(step != n * inner for (_, step), (n, inner) in pairwise(old)):
        return None
    return [old[-1][1] * step for step in row_steps(tuple(new))]


def _in_row(shape: Ints, steps: Ints) -> bool:
    pairs = zip(shape, steps, row_steps(shape), strict=True)
    return 0 in shape or all(s == r for n, s, r in pairs if n != 1)
