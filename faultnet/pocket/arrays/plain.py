"""The loops in plain Python, for where there is no page: the same as those of `page/loops.js`.

They are for tests on the desk and slow. Numbers are reached by their place in memory.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from ctypes import POINTER, c_double, cast
from functools import reduce
from itertools import accumulate, product

from faultnet.pocket.arrays.kinds import WHOLE
from faultnet.pocket.arrays.plain_numbers import BINARY, UNARY, before


class Cells:
    """Numbers in memory by their place, counted from an address on: from the very first of all."""

    def __init__(self, address: int = 0) -> None:
        self._cells = cast(address + 8, POINTER(c_double))  # nothing lies at nought itself

    def read(self, place: int, count: int, step: int = 1) -> list[float]:
        """Return numbers that lie some steps apart."""
        if step == 0 or count == 1:
            return [self._cells[place - 1]] * count
        return list(self._cells[place - 1 : place - 1 + count * step : step])

    def write(self, place: int, step: int, values: Sequence[float]) -> None:
        """Put numbers some steps apart."""
        cells, at = self._cells, place - 1
        for value in values:
            cells[at] = value
            at += step


Numbers = Callable[[float, float], float]
Axis = tuple[int, ...]
"""The length of an axis, then the step that each array takes along it."""


class _Plan:
    """How arrays are walked together: the innermost axis, and where each walk along it starts."""

    def __init__(self, axes: list[Axis], arrays: int) -> None:
        joined = _joined(axes) or [(1, *(0,) * arrays)]
        inner = max(range(len(joined)), key=lambda k: joined[k][0])
        self.inner, *self.inner_steps = joined.pop(inner)
        starts = [(0,) * arrays]
        for length, *steps in joined:
            walked = [tuple(k * step for step in steps) for k in range(length)]
            starts = [tuple(map(int.__add__, s, w)) for s in starts for w in walked]
        self.starts = [] if any(axis[0] == 0 for axis in axes) else starts

    def walk(self, *places: int) -> Iterator[list[int]]:
        """Yield where each array stands at the start of each innermost loop."""
        return (list(map(int.__add__, places, start)) for start in self.starts)


def _joined(axes: list[Axis]) -> list[Axis]:
    """Return axes with those made one that can be walked in one go."""
    result: list[Axis] = []
    for axis in axes:
        length, *steps = axis
        if length == 1:
            continue
        if result and result[-1][1:] == tuple(step * length for step in steps):
            result[-1] = (result[-1][0] * length, *steps)
        else:
            result.append(axis)
    return result


class PlainLoops:
    """Loops that are asked through a block of numbers."""

    def __init__(self, cells: Cells | None = None) -> None:
        self._cells = cells or Cells()
        self._read, self._write = self._cells.read, self._cells.write
        self._block = 0
        self._plans: list[_Plan] = []

    def begin(self, block: int) -> None:
        """Learn where the block lies."""
        self._block = block

    def _asked(self, count: int, start: int = 0) -> list[int]:
        return list(map(int, self._read(self._block + start, count, 1)))

    def plan(self) -> int:
        """Keep how some arrays are walked together; return the number of the plan."""
        axes, arrays = self._asked(2)
        asked = self._asked(axes * (arrays + 1), 2)
        parts = [asked[k * axes : (k + 1) * axes] for k in range(arrays + 1)]
        self._plans.append(_Plan(list(zip(*parts, strict=True)), arrays))
        return len(self._plans) - 1

    def binary(self) -> None:
        """Make one number of two, all along a plan."""
        operation, number, out, one, other = self._asked(5)
        plan, make = self._plans[number], BINARY[operation]
        n, (so, sa, sb) = plan.inner, plan.inner_steps
        for o, a, b in plan.walk(out, one, other):
            self._write(o, so, list(map(make, self._read(a, n, sa), self._read(b, n, sb))))

    def unary(self) -> None:
        """Make one number of one, all along a plan."""
        operation, number, out, one = self._asked(4)
        plan, make = self._plans[number], UNARY[operation]
        n, (so, sa) = plan.inner, plan.inner_steps
        for o, a in plan.walk(out, one):
            self._write(o, so, list(map(make, self._read(a, n, sa))))

    def fold(self) -> None:
        """Fold numbers into those that are there."""
        operation, number, out, one, size = self._asked(5)
        self._write(out, 1, self._read(self._block + 5, size, 0))
        plan, make = self._plans[number], BINARY[operation]
        n, (so, sa) = plan.inner, plan.inner_steps
        for o, a in plan.walk(out, one):
            self._folded(make, (o, so), self._read(a, n, sa))

    def contract(self) -> None:
        """Add up products."""
        number, out, one, other = self._asked(4)
        plan = self._plans[number]
        n, (so, sa, sb) = plan.inner, plan.inner_steps
        for o, a, b in plan.walk(out, one, other):
            products = list(map(float.__mul__, self._read(a, n, sa), self._read(b, n, sb)))
            self._folded(float.__add__, (o, so), products)

    def choose(self) -> None:
        """Take from one or the other, as a third says; all lie in a row."""
        n, out, truths, one, other = self._asked(5)
        rows = zip(
            self._read(truths, n, 1), self._read(one, n, 1), self._read(other, n, 1), strict=True
        )
        self._write(out, 1, [a if truth else b for truth, a, b in rows])

    def offsets(self) -> int:
        """Add up where picks along several axes lead; return 0 where one is out of its axis."""
        n, picks, out = self._asked(3)
        total = [0] * n
        for pick in range(picks):
            place, length, step = self._asked(3, 3 + 3 * pick)
            found = list(map(int, self._read(place, n, 1)))
            if not all(-length <= p < length for p in found):
                return 0
            total = [t + p % length * step for t, p in zip(total, found, strict=True)]
        self._write(out, 1, total)
        return 1

    def gather(self) -> None:
        """Copy what is picked into a row."""
        for n, (row, so), (array, sa) in self._picked():
            self._write(row, so, self._read(array, n, sa))

    def scatter(self) -> None:
        """Copy a row to what is picked."""
        for n, (row, so), (array, sa) in self._picked():
            self._write(array, sa, self._read(row, n, so))

    def _picked(self) -> Iterator[tuple[int, tuple[int, int], tuple[int, int]]]:
        number, row, base, count, where, tail = self._asked(6)
        plan = self._plans[number]
        for k, offset in enumerate(map(int, self._read(where, count, 1))):
            for o, a in plan.walk(row + k * tail, base + offset):
                so, sa = plan.inner_steps
                yield plan.inner, (o, so), (a, sa)

    def along(self) -> None:
        """Order, add up or look up along one axis."""
        which, outer, length, inner, out, one, more, count = self._asked(8)
        extra = list(map(int, self._read(more, count, 1)))
        for k, j in product(range(outer), range(inner)):
            made = ALONG[which](self._read(one + k * length * inner + j, length, inner), extra)
            self._write(out + k * len(made) * inner + j, inner, made)

    def bounded(self) -> int:
        """Return whether all numbers in a row are counts that a double tells exactly."""
        place, count = self._asked(2)
        return int(all(abs(value) <= WHOLE for value in self._read(place, count, 1)))

    def _folded(self, make: Numbers, result: tuple[int, int], values: Sequence[float]) -> None:
        """Fold values into one number, or each into one of its own."""
        place, step = result
        there = self._read(place, len(values) if step else 1, step)
        made = list(map(make, there, values)) if step else [reduce(make, values, there[0])]
        self._write(place, step, made)


def _order(values: list[float], _: list[int]) -> Sequence[float]:
    return sorted(range(len(values)), key=lambda k: before(values[k]))


def _sums(values: list[float], _: list[int]) -> Sequence[float]:
    return list(accumulate(values))


def _largest(values: list[float], _: list[int]) -> Sequence[float]:
    lost = [k for k, value in enumerate(values) if math.isnan(value)]
    return lost[:1] or [values.index(max(values))]


def _smallest(values: list[float], _: list[int]) -> Sequence[float]:
    lost = [k for k, value in enumerate(values) if math.isnan(value)]
    return lost[:1] or [values.index(min(values))]


def _sums_from(values: list[float], starts: list[int]) -> Sequence[float]:
    ends = [*starts[1:], len(values)]
    parts = [values[start : max(end, start + 1)] for start, end in zip(starts, ends, strict=True)]
    return [reduce(float.__add__, part) for part in parts]


ALONG = (_order, _sums, _largest, _smallest, _sums_from)
