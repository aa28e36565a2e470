"""Arrays for where there is no NumPy: what the rooms use of it, over typed arrays."""

import contextlib
import math
from array import array

from faultnet.pocket.arrays.ndarray import (
    BOOL, FLOAT, INT, _as, _assign, _code, argsort, asarray, binary, broadcast_shapes, broadcast_to,
    einsum, empty, full, make, moveaxis, ndarray, newaxis, nonzero, number, ones, reduce, steps_of,
    use, zeros,
)

float64, bool_, intp, int64 = FLOAT, BOOL, INT, INT
inf, nan = math.inf, math.nan
floating = float
array = make


class _Operation:
    def __init__(self, name):
        self.name = name

    def __call__(self, a, b, out=None, where=None):
        if where is None:
            return binary(self.name, a, b, out)
        result = binary(self.name, a, b)
        picked = broadcast_to(where, out.shape).flat_list()
        values = broadcast_to(result, out.shape).flat_list()
        kept = out.flat_list()
        _assign(out, make([v if w else k for v, w, k in zip(values, picked, kept)]).reshape(out.shape))
        return out

    def outer(self, a, b):
        a, b = asarray(a), asarray(b)
        return binary(self.name, a.reshape(*a.shape, *(1,) * b.ndim), b)

    def reduce(self, a, axis=0, keepdims=False):
        return reduce(self.name, asarray(a), axis, keepdims)

    def reduceat(self, a, starts, axis=0):
        ends = [*list(map(int, starts))[1:], a.shape[axis]]
        parts = []
        for start, end in zip(map(int, starts), ends):
            lead = (slice(None),) * axis
            part = a[(*lead, slice(start, max(end, start + 1)))]
            parts.append(reduce(self.name, part, axis, True))
        return concatenate(parts, axis=axis)


add, subtract, multiply, divide = map(_Operation, ("add", "subtract", "multiply", "divide"))
maximum, minimum = map(_Operation, ("maximum", "minimum"))


def zeros_like(a, dtype=None):
    return zeros(a.shape, dtype or a.code)


empty_like = zeros_like


def ones_like(a):
    return ones(a.shape)


def full_like(a, value):
    return full(a.shape, value, a.code)


def expand_dims(a, axis):
    shape, steps = list(a.shape), list(a.steps)
    axis %= a.ndim + 1
    shape.insert(axis, 1)
    steps.insert(axis, 0)
    return ndarray(a.buf, a.at, tuple(shape), tuple(steps), a.code)


def concatenate(parts, axis=0):
    parts = [asarray(p) for p in parts]
    axis %= parts[0].ndim
    shape = list(parts[0].shape)
    shape[axis] = sum(p.shape[axis] for p in parts)
    code = FLOAT if any(p.code == FLOAT for p in parts) else parts[0].code
    out = empty(shape, code)
    at = 0
    for p in parts:
        n = p.shape[axis]
        if p.size:
            out[(slice(None),) * axis + (slice(at, at + n),)] = p
        at += n
    return out


def vstack(parts):
    return concatenate([p.reshape(1, -1) if asarray(p).ndim == 1 else p for p in map(asarray, parts)])


def cumsum(a, axis=None):
    a = asarray(a)
    if axis is None or a.ndim == 1:
        total, result = 0, []
        for x in a.flat_list():
            total += x
            result.append(total)
        return make(result, a.code) if result else a.copy()
    moved = moveaxis(a, axis, -1)
    n, flat, result = moved.shape[-1], moved.flat_list(), []
    for k in range(0, len(flat), n):
        total = 0.0
        for x in flat[k : k + n]:
            total += x
            result.append(total)
    return moveaxis(make(result, FLOAT).reshape(moved.shape), -1, axis)


def where(condition, a=None, b=None):
    if a is None:
        return nonzero(condition)
    shape = broadcast_shapes(*(asarray(x).shape for x in (condition, a, b)))
    lists = [broadcast_to(asarray(x), shape).flat_list() for x in (condition, a, b)]
    return make([x if c else y for c, x, y in zip(*lists)]).reshape(shape)


def flatnonzero(a):
    return nonzero(asarray(a).ravel())[0]


def take_along_axis(a, order, axis):
    a, order = moveaxis(a, axis, -1), moveaxis(order, axis, -1)
    n, m = a.shape[-1], order.shape[-1]
    flat, picks, result = a.flat_list(), order.flat_list(), []
    for k in range(len(picks) // m if m else 0):
        result += [flat[k * n + p] for p in picks[k * m : (k + 1) * m]]
    return moveaxis(make(result, a.code).reshape(order.shape), -1, axis)


def _each(a, f):
    if not isinstance(a, ndarray):
        if isinstance(a, (list, tuple)):
            a = asarray(a)
        else:
            return number(f(a))
    return make([f(x) for x in a.flat_list()], FLOAT).reshape(a.shape)


def abs(a):
    return _each(a, math.fabs)


def exp(a):
    return _each(a, math.exp)


def log(a):
    return _each(a, lambda x: math.log(x) if x > 0.0 else -math.inf if x == 0.0 else math.nan)


def isfinite(a):
    return _as(_each(a, lambda x: float(math.isfinite(x))), BOOL)


def clip(a, low, high):
    return _each(a, lambda x: min(max(x, low), high))


def prod(a, axis=None):
    return asarray(a).prod(axis)


def sum(a, axis=None):
    return asarray(a).sum(axis)


_sum = sum


def any(a, axis=None):
    return asarray(a).any(axis)


def argmax(a, axis=None):
    items = asarray(a).flat_list()
    return items.index(max(items))


def argmin(a, axis=None):
    items = asarray(a).flat_list()
    return items.index(min(items))


def repeat(a, times, axis):
    a = asarray(a)
    shape = list(a.shape)
    if shape[axis] == 1:
        shape[axis] = times
        return broadcast_to(a, shape).copy()
    return a[(slice(None),) * axis + ([k for k in range(shape[axis]) for _ in range(times)],)]


def tile(a, times):
    a = asarray(a)
    return broadcast_to(a.reshape(*(1,) * (len(times) - a.ndim), *a.shape), (times[0], *a.shape)).copy()


def ascontiguousarray(a):
    return a if a.in_row() else a.copy()


def arange(start, stop=None):
    return make(list(range(start) if stop is None else range(start, stop)), INT)


def outer(a, b):
    return multiply.outer(asarray(a).ravel(), asarray(b).ravel())


class broadcast:
    def __init__(self, *arrays):
        self.shape = broadcast_shapes(*(asarray(a).shape for a in arrays))


def lexsort(keys):
    lists = [asarray(k).flat_list() for k in keys]
    return make(sorted(range(len(lists[0])), key=lambda i: [k[i] for k in reversed(lists)]), INT)


@contextlib.contextmanager
def errstate(**_):
    yield
