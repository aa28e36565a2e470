"""Sums of products over axes that two arrays share."""

from typing import Final

from faultnet.pocket.arrays import loops
from faultnet.pocket.arrays.elementwise import finished
from faultnet.pocket.arrays.kinds import BOOL
from faultnet.pocket.arrays.layout import Ints, Layout, row_of, together
from faultnet.pocket.arrays.made import asarray
from faultnet.pocket.arrays.ndarray import Array, Scalar, fresh

_LETTERS: Final = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"


def einsum(spec: str, *arrays: object) -> Array | Scalar:
    """Return the sums of the products of two arrays whose axes are named by letters."""
    if len(arrays) != 2:
        raise TypeError("products are made of two arrays")
    one, other = map(asarray, arrays)
    return contracted(spec, one, other)


def contracted(spec: str, one: Array, other: Array) -> Array | Scalar:
    """Return the sums of products as the letters say: two arrays, and the result."""
    kind = max(one.kind, other.kind)
    if kind == BOOL:
        raise TypeError("truths are not added up as products")
    key = other.layout, spec
    made, plan = one.layout.products.get(key) or _planned(one.layout, other.layout, spec)
    result = fresh(made, kind)
    loops.FOUR(loops.BLOCK, 0, plan, result.place, one.place, other.place)
    loops.contract()
    return finished(result)


def _planned(one: Layout, other: Layout, spec: str) -> tuple[Layout, int]:
    inputs, arrow, result = spec.replace(" ", "").partition("->")
    names = inputs.split(",")
    if not arrow or len(names) != 2 or not set(result).union(*names) <= set(_LETTERS):
        raise ValueError(f"{spec!r} does not name the axes of two arrays and of the result")
    lengths = _lengths(spec, list(zip(names, (one, other), strict=True)))
    if len(set(result)) < len(result) or not set(result) <= lengths.keys():
        raise ValueError(f"{spec!r} names an axis of the result twice, or one that is not there")
    letters = result + "".join(letter for letter in lengths if letter not in result)
    made = row_of(tuple(lengths[letter] for letter in result))
    steps = [
        tuple(_step(letter, name, layout) for letter in letters)
        for name, layout in zip((result, *names), (made, one, other), strict=True)
    ]
    plan = loops.plan(tuple(lengths[letter] for letter in letters), tuple(steps))
    one.products[other, spec] = made, plan
    return made, plan


def _lengths(spec: str, named: list[tuple[str, Layout]]) -> dict[str, int]:
    lengths: dict[str, int] = {}
    for name, layout in named:
        if len(name) != layout.ndim:
            raise ValueError(f"{spec!r} does not name each axis of an array of {layout.shape}")
        for letter, length in zip(name, layout.shape, strict=True):
            (lengths[letter],) = together((lengths.get(letter, 1),), (length,))
    return lengths


def _step(letter: str, name: str, layout: Layout) -> int:
    """Return how far an array goes along an axis that is named; along one of one place, nowhere."""
    axes = zip(name, layout.shape, layout.steps, strict=True)
    return sum(step for own, length, step in axes if own == letter and length != 1)


def matmul(left: object, right: object) -> Array | Scalar:
    """Return the product of tables, or of tables and rows."""
    one, other = asarray(left), asarray(right)
    if not one.layout.ndim or not other.layout.ndim:
        raise ValueError("a single number is no table")
    lengths = one.layout.shape[-1], other.layout.shape[max(other.layout.ndim - 2, 0)]
    if lengths[0] != lengths[1]:
        raise ValueError(f"tables of {one.shape} and {other.shape} do not go together")
    return contracted(_table_spec(one.layout.ndim, other.layout.ndim), one, other)


def _table_spec(one: int, other: int) -> str:
    """Return the letters for a product of tables: `a` rows, `c` columns, `b` what is added up."""
    lead = _LETTERS[3 : 3 + max(one, other, 2) - 2]
    left = lead[len(lead) - one + 2 :] + "ab" if one > 1 else "b"
    right = lead[len(lead) - other + 2 :] + "bc" if other > 1 else "b"
    return f"{left},{right}->{lead}{'a' if one > 1 else ''}{'c' if other > 1 else ''}"


def tensordot(left: object, right: object, axes: int = 2) -> Array | Scalar:
    """Return the sums of products over the last axes of one and the first of another."""
    one, other = asarray(left), asarray(right)
    if not isinstance(axes, int):
        raise TypeError("only a count of axes is supported")
    split = one.layout.ndim - axes
    _same(one.layout.shape[split:], other.layout.shape[:axes])
    first = _LETTERS[: one.layout.ndim]
    second = first[split:] + _LETTERS[len(first) : len(first) + other.layout.ndim - axes]
    return contracted(f"{first},{second}->{first[:split]}{second[axes:]}", one, other)


def _same(one: Ints, other: Ints) -> None:
    if one != other:
        raise ValueError(f"axes of {one} and {other} are not the same")
