"""Numbers picked out of an array by lists of places or by truths."""

from array import array as numbers
from math import prod
from typing import Final

from faultnet.pocket.arrays import loops
from faultnet.pocket.arrays.copies import cast, in_row, put, widened
from faultnet.pocket.arrays.kinds import BOOL, FLOAT, INT
from faultnet.pocket.arrays.layout import Ints, Layout, Pick, row_of, together
from faultnet.pocket.arrays.made import asarray
from faultnet.pocket.arrays.ndarray import Array, Scalar, fresh
from faultnet.pocket.arrays.places import nonzero

_ALL: Final = slice(None)


def get_picked(array: Array, key: tuple[object, ...]) -> Array | Scalar:
    """Return a copy of the numbers that lists of places or truths pick."""
    pick, lists = _resolved(array.layout, key)
    result = fresh(pick.made, array.kind)
    _asked(pick, result, array, lists)
    loops.gather()
    return result if pick.made.ndim else result.single()


def set_picked(array: Array, key: tuple[object, ...], value: object) -> None:
    """Put numbers where lists of places or truths pick."""
    pick, lists = _resolved(array.layout, key)
    row = fresh(pick.made, array.kind)
    put(row, asarray(value))
    _asked(pick, row, array, lists)
    loops.scatter()


def opened(layout: Layout, key: tuple[object, ...]) -> tuple[object, ...]:
    """Return a key in which all axes stand that it leaves to dots; an `IndexError` for too many."""
    dots = [k for k, part in enumerate(key) if part is Ellipsis]
    used = sum(_axes(part) for part in key)
    if used > layout.ndim or len(dots) > 1:
        raise IndexError(f"{used} places are asked for on {layout.ndim} axes")
    if not dots:
        return key
    return (*key[: dots[0]], *(_ALL,) * (layout.ndim - used), *key[dots[0] + 1 :])


def _axes(part: object) -> int:
    if part is None or part is Ellipsis:
        return 0
    return part.layout.ndim if isinstance(part, Array) and part.kind == BOOL else 1


def _asked(pick: Pick, row: Array, array: Array, lists: list[Array]) -> None:
    """Put into the block what is asked of the loops; offsets stay until the next are asked."""
    where = _SPACE.of(row_of(pick.shape).size)
    rows = [in_row(widened(places, pick.shape)) for places in lists]
    places = [
        asked
        for one, (length, step) in zip(rows, pick.axes, strict=True)
        for asked in (one.place, length, step)
    ]
    asked = numbers("d", (where.layout.size, len(rows), where.place, *places))
    loops.BLOCK[: len(asked)] = asked
    if not loops.offsets():
        raise IndexError(f"a place is outside of its axis in an array of shape {array.shape}")
    base = array.place + pick.base
    loops.SIX(loops.BLOCK, 0, pick.plan, row.place, base, where.layout.size, where.place, pick.tail)


class _Space:
    """Room for offsets, kept from one pick to the next."""

    def __init__(self) -> None:
        self._room = fresh(row_of((0,)), INT)

    def of(self, count: int) -> Array:
        """Return room for so many."""
        if len(self._room.buf) < count:
            self._room = fresh(row_of((count,)), INT)
        return self._room.lain(0, row_of((count,)))


_SPACE: Final = _Space()


def _resolved(layout: Layout, key: tuple[object, ...]) -> tuple[Pick, list[Array]]:
    """Return how a key picks, and its lists of places."""
    parts: list[object] = []
    for part in opened(layout, key):
        if part is None or part.__class__ is int or isinstance(part, slice):
            parts.append(part)
        else:
            axis = sum(part is not None for part in parts)
            parts += _lists(asarray(part), layout.shape[axis:])
    sign = tuple(map(_sign, parts))
    pick = layout.picks.get(sign)
    if pick is None:
        pick = layout.picks[sign] = _pick(layout, parts)
    return pick, [part for part in parts if isinstance(part, Array)]


def _lists(places: Array, lengths: Ints) -> tuple[Array, ...]:
    """Return lists of places for one axis, or for each that truths speak of."""
    if places.kind == BOOL and places.layout.ndim:
        if places.layout.shape != lengths[: places.layout.ndim]:
            raise IndexError(f"truths of shape {places.shape} do not fit {lengths}")
        return nonzero(places)
    if places.kind == FLOAT and not places.layout.size:
        return (cast(places, INT),)
    if places.kind != INT:
        raise IndexError(f"places are counts or truths, not {places.dtype}")
    return (places,)


def _sign(part: object) -> object:
    """Return what a part of a key is known by, whatever the places in it."""
    if isinstance(part, Array):
        return "places", part.layout.shape
    return ("slice", part.start, part.stop, part.step) if isinstance(part, slice) else part


def _pick(layout: Layout, parts: list[object]) -> Pick:
    shape = together(*(part.layout.shape for part in parts if isinstance(part, Array)))
    base, rest, axes, axis, lead = 0, [], [], 0, _lead(parts)
    for part in parts:
        if part is None:
            rest.append((1, 0))
            continue
        length, step = layout.shape[axis], layout.steps[axis]
        axis += 1
        if isinstance(part, slice):
            within = range(*part.indices(length))
            rest.append((len(within), within.step * step))
            base += within.start * step if within else 0
        elif isinstance(part, Array):
            axes.append((length, step))
        else:
            base += step_to(part, length, step)
    rest += zip(layout.shape[axis:], layout.steps[axis:], strict=True)
    return _laid(base, rest, lead, shape, tuple(axes))


def _laid(
    base: int, rest: list[tuple[int, int]], lead: int, shape: Ints, axes: tuple[Ints, ...]
) -> Pick:
    lengths = tuple(n for n, _ in rest)
    made = row_of((*lengths[:lead], *shape, *lengths[lead:]))
    steps = (*made.steps[:lead], *made.steps[lead + len(shape) :])
    plan = loops.plan(lengths, (steps, tuple(s for _, s in rest)))
    return Pick(base, made, shape, axes, prod(lengths[lead:]), plan)


def _lead(parts: list[object]) -> int:
    """Return how many axes stand before what is picked: none where picks stand apart."""
    at = [k for k, part in enumerate(parts) if isinstance(part, int | Array)]
    return at[0] if at == list(range(at[0], at[-1] + 1)) else 0


def step_to(place: object, length: int, step: int) -> int:
    """Return how far off a place along an axis is; an `IndexError` where it is outside."""
    if not isinstance(place, int) or not -length <= place < length:
        raise IndexError(f"{place} is outside of an axis of {length}")
    return (place + length if place < 0 else place) * step
