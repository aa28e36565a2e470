"""Operations number by number: two arrays walked together, or one."""

from typing import Final

from faultnet.pocket.arrays import loops
from faultnet.pocket.arrays.copies import copied, in_row, put, told, widened
from faultnet.pocket.arrays.kinds import BOOL, FLOAT, INT, MADE, NONE, UNARY
from faultnet.pocket.arrays.layout import row_of, together
from faultnet.pocket.arrays.made import LEFT, RIGHT, asarray, operand
from faultnet.pocket.arrays.ndarray import DTYPES, NOUGHT, Array, Scalar, fresh, scalar

_BLOCK: Final = loops.BLOCK
_five: Final = loops.FIVE
_run: Final = loops.binary
_READY: Final = frozenset((FLOAT, BOOL))
"""Kinds of which nothing has to be looked through."""
_TRUTHS: Final = {"isfinite", "isnan", "logical_not"}
_SAME: Final = {"negative", "abs"}


def binary(operation: int, one: object, other: object) -> Array | Scalar:
    """Return what an operation makes of two arrays or numbers, walked together."""
    a = one if isinstance(one, Array) else operand(one, LEFT)
    b = other if isinstance(other, Array) else operand(other, RIGHT)
    layout, plan = a.layout.pairs.get(b.layout) or a.layout.pair(b.layout)
    kind, loop = MADE[9 * operation + 3 * a.kind + b.kind]
    buf = NOUGHT * layout.size
    place = buf.buffer_info()[0] >> 3
    _five(_BLOCK, 0, loop, plan, place, a.place, b.place)
    _run()
    if layout.ndim and kind in _READY:
        return Array(buf, 0, place, layout, kind)
    if kind == NONE:
        raise TypeError(f"no such operation on arrays of {DTYPES[a.kind]} and {DTYPES[b.kind]}")
    return finished(Array(buf, 0, place, layout, kind))


def finished(result: Array) -> Array | Scalar:
    """Return a result that was made anew: counts looked through, one alone as a number."""
    if result.kind == INT:
        told(result)
    return result if result.layout.ndim else scalar(result.buf[0], result.kind)


def onto(operation: int, target: Array, one: object, other: object) -> Array:
    """Put what an operation makes of two into an array; return that array."""
    target.writable()
    a, b = _apart(target, operand(one, LEFT)), _apart(target, operand(other, RIGHT))
    kind, loop = MADE[9 * operation + 3 * a.kind + b.kind]
    if kind > target.kind or kind == NONE:
        raise TypeError(f"an array of {target.dtype} cannot take what is made")
    if kind == INT:
        put(target, asarray(binary(operation, a, b)))
        return target
    layout = target.layout
    plan = layout.onto.get((a.layout, b.layout))
    if plan is None:
        plan = layout.loop(a.layout, b.layout)
    _five(_BLOCK, 0, loop, plan, target.place, a.place, b.place)
    _run()
    return target


def _apart(target: Array, operand: Array) -> Array:
    """Return an operand that does not change while the target is written."""
    if operand.buf is not target.buf:
        return operand
    same = operand.place == target.place and operand.layout is target.layout
    return operand if same else copied(operand)


def masked(operation: int, pair: tuple[object, object], out: Array, where: object) -> Array:
    """Put what an operation makes of two into an array, but only where it is asked for."""
    made = asarray(binary(operation, *pair))
    if made.kind > out.kind:
        raise TypeError(f"an array of {out.dtype} cannot take what is made")
    out.writable()
    put(out, asarray(where_else(widened(asarray(where), out.layout.shape), made, out)))
    return out


def where_else(condition: object, one: object, other: object) -> Array | Scalar:
    """Take numbers from one array where a condition holds, from another elsewhere."""
    parts = [asarray(part) for part in (condition, one, other)]
    shape = together(*(part.layout.shape for part in parts))
    rows = [in_row(widened(part, shape)) for part in parts]
    result = fresh(row_of(shape), max(part.kind for part in rows[1:]))
    asked = (result.layout.size, result.place, *(part.place for part in rows))
    _five(_BLOCK, 0, *asked)
    loops.choose()
    return finished(result)


def unary(name: str, one: object) -> Array | Scalar:
    """Return what an operation makes of each number of an array, or of a number."""
    a = asarray(one)
    if name == "negative" and a.kind == BOOL:
        raise TypeError("a truth has no negative")
    kind = BOOL if name in _TRUTHS else a.kind if name in _SAME else FLOAT
    result = fresh(row_of(a.layout.shape), kind)
    plan = result.layout.copied(a.layout)
    loops.FOUR(_BLOCK, 0, UNARY[name], plan, result.place, a.place)
    loops.unary()
    return finished(result)


def invert(one: object) -> Array | Scalar:
    """Return what is not: truths turned round; of counts, all bits."""
    a = asarray(one)
    if a.kind == FLOAT:
        raise TypeError("floats have no bits to turn round")
    return unary("logical_not", a) if a.kind == BOOL else binary(1, -1, a)
