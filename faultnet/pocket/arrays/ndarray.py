"""Arrays of floats, of truth and of places, with as much of NumPy's manner as the rooms use."""

import math
from array import array
from itertools import product

FLOAT, BOOL, INT = "d", "b", "i"
SIZE = {FLOAT: 8, BOOL: 1, INT: 4}
newaxis = None
OPS = {
    "add": 0, "subtract": 1, "multiply": 2, "divide": 3, "maximum": 4, "minimum": 5,
    "greater": 6, "less": 7, "equal": 8, "not_equal": 9, "greater_equal": 10, "less_equal": 11,
    "logical_and": 12, "logical_or": 13,
}
COMPARE = 6

_loops = None


def use(loops):
    """Run loops by the script."""
    global _loops
    _loops = loops


class number(float):
    """A single number that can be asked like an array."""

    __slots__ = ()
    shape = ()
    ndim = 0
    size = 1

    def item(self):
        return float(self)

    tolist = item

    def __getitem__(self, key):
        return self.reshape()[key]

    def _both(name):
        plain = getattr(float, name)

        def apply(self, other):
            if isinstance(other, ndarray):
                return NotImplemented
            result = plain(self, other)
            return result if result is NotImplemented else number(result)

        return apply

    for _name in ("add", "sub", "mul", "truediv"):
        locals()[f"__{_name}__"] = _both(f"__{_name}__")
        locals()[f"__r{_name}__"] = _both(f"__r{_name}__")

    def __neg__(self):
        return number(-float(self))

    def any(self):
        return self != 0.0

    all = any

    def reshape(self, *shape):
        if len(shape) == 1 and isinstance(shape[0], (tuple, list)):
            shape = tuple(shape[0])
        return ndarray(array(FLOAT, [self]), 0, (1,) * len(shape), (0,) * len(shape), FLOAT)

    def sum(self, axis=None, keepdims=False):
        return self

    def copy(self):
        return self


_STEPS = {(): ()}


def steps_of(shape):
    """Steps of an array that lies in a row."""
    known = _STEPS.get(shape)
    if known is None:
        known = _STEPS[shape] = _steps_of(shape)
    return known


def _steps_of(shape):
    result = [0] * len(shape)
    step = 1
    for k in range(len(shape) - 1, -1, -1):
        result[k] = step
        step *= shape[k]
    return tuple(result)


class ndarray:
    """``buf`` holds the numbers; ``shape`` and ``steps`` say which, from ``at`` on."""

    __slots__ = ("buf", "at", "shape", "steps", "code")
    __array_priority__ = 1

    def __init__(self, buf, at, shape, steps, code):
        self.buf = buf
        self.at = at
        self.shape = shape
        self.steps = steps
        self.code = code

    # what it is

    @property
    def ndim(self):
        return len(self.shape)

    @property
    def size(self):
        return math.prod(self.shape)

    @property
    def dtype(self):
        return self.code

    @property
    def T(self):
        return ndarray(self.buf, self.at, self.shape[::-1], self.steps[::-1], self.code)

    def __len__(self):
        if not self.shape:
            raise TypeError("len() of a single number")
        return self.shape[0]

    def address(self):
        return self.buf.buffer_info()[0] + self.at * SIZE[self.code]

    def in_row(self):
        return self.steps == steps_of(self.shape) or _in_row(self.shape, self.steps)

    def flat_list(self):
        """All numbers, last axis fastest."""
        n = self.size
        if self.in_row():
            return self.buf[self.at : self.at + n].tolist()
        if n == 0:
            return []
        places = [self.at]
        for length, step in zip(self.shape, self.steps):
            places = [p + k * step for p in places for k in range(length)]
        buf = self.buf
        return [buf[p] for p in places]

    def tolist(self):
        if self.code == BOOL:
            flat = [bool(x) for x in self.flat_list()]
        else:
            flat = self.flat_list()
        return _nested(flat, self.shape)

    def item(self):
        if self.size != 1:
            raise ValueError("only an array of one number is a number")
        return self.buf[self.at]

    def __float__(self):
        return float(self.item())

    def __int__(self):
        return int(self.item())

    __index__ = __int__

    def __bool__(self):
        return bool(self.item())

    def __iter__(self):
        for k in range(len(self)):
            yield self[k]

    def __repr__(self):
        return f"array({self.tolist()})"

    # copies and views

    def copy(self):
        if self.in_row():
            n = self.size
            return ndarray(self.buf[self.at : self.at + n], 0, self.shape, steps_of(self.shape), self.code)
        out = empty(self.shape, self.code)
        _assign(out, self)
        return out

    def astype(self, code):
        return _as(self, _code(code))

    def reshape(self, *shape):
        if len(shape) == 1 and not isinstance(shape[0], int):
            shape = tuple(shape[0])
        if -1 in shape:
            known = math.prod(n for n in shape if n != -1)
            shape = tuple(self.size // known if n == -1 else n for n in shape)
        if shape == self.shape:
            return self
        if math.prod(shape) != self.size:
            raise ValueError(f"cannot reshape {self.shape} into {shape}")
        if self.in_row():
            return ndarray(self.buf, self.at, shape, steps_of(shape), self.code)
        steps = _restepped(self.shape, self.steps, shape)
        if steps is not None:
            return ndarray(self.buf, self.at, shape, steps, self.code)
        return self.copy().reshape(shape)

    def ravel(self):
        return self.reshape(-1)

    def transpose(self, *axes):
        if len(axes) == 1 and not isinstance(axes[0], int):
            axes = tuple(axes[0])
        axes = axes or tuple(range(self.ndim))[::-1]
        return ndarray(self.buf, self.at, tuple(self.shape[a] for a in axes), tuple(self.steps[a] for a in axes), self.code)

    def take(self, places, axis=None):
        if axis is None:
            return self.ravel()[asarray(places, INT)]
        return self[(slice(None),) * axis + (asarray(places, INT),)]

    # picking

    def _view(self, key):
        """The view of simple keys, or None where places are picked."""
        if key.__class__ is not tuple:
            key = (key,)
        if Ellipsis in [k for k in key if k is Ellipsis]:
            where = [k is Ellipsis for k in key].index(True)
            spare = self.ndim - sum(k is not None for k in key) + 1
            key = (*key[:where], *(slice(None),) * spare, *key[where + 1 :])
        at, shape, steps, axis = self.at, [], [], 0
        for k in key:
            if k is None:
                shape.append(1)
                steps.append(0)
                continue
            kind = k.__class__
            length, step = self.shape[axis], self.steps[axis]
            if kind is int or kind is bool and False:
                if k < 0:
                    k += length
                if not 0 <= k < length:
                    raise IndexError(f"{k} is out of {length}")
                at += k * step
            elif kind is slice:
                start, stop, by = k.indices(length)
                shape.append(len(range(start, stop, by)))
                steps.append(step * by)
                at += start * step
            elif hasattr(k, "__index__") and not isinstance(k, (list, tuple)) and not (isinstance(k, ndarray) and k.shape):
                k = int(k)
                at += (k + length if k < 0 else k) * step
            else:
                return None
            axis += 1
        return ndarray(self.buf, at, (*shape, *self.shape[axis:]), (*steps, *self.steps[axis:]), self.code)

    def __getitem__(self, key):
        view = self._view(key)
        if view is not None:
            if view.shape:
                return view
            value = self.buf[view.at]
            return number(value) if self.code == FLOAT else (bool(value) if self.code == BOOL else value)
        return self._picked(key)

    def _places(self, key):
        """A key with one or more picks as (key without the picks, picks by axis)."""
        if key.__class__ is not tuple:
            key = (key,)
        result, axis = [], 0
        for k in key:
            if k is None:
                raise IndexError("no new axis beside picks")
            if isinstance(k, (list, ndarray, tuple, range)):
                pick = asarray(list(k) if isinstance(k, range) else k)
                if pick.code == BOOL:
                    for one in nonzero(pick):
                        result.append(one)
                        axis += 1
                    continue
                result.append(_as(pick, INT))
            else:
                result.append(k)
            axis += 1
        return result

    def _picked(self, key):
        at, (lead, picked, shape, steps), offsets = self._resolve(key)
        n = len(offsets)
        lead_shape, rest_shape = picked
        out = empty((n, *shape), self.code)
        inner = math.prod(shape)
        if _loops is not None and self.code == FLOAT and shape and n:
            where = array("i", offsets)
            meta = array("i", (*shape, *steps))
            _loops.gather(len(shape), meta.buffer_info()[0], out.address(), self.buf.buffer_info()[0], n, where.buffer_info()[0])
        elif self.in_row() and inner and steps == steps_of(shape):
            buf, size = array(self.code), inner
            for o in offsets:
                buf.extend(self.buf[o : o + size])
            out = ndarray(buf, 0, (n, *shape), steps_of((n, *shape)), self.code)
        else:
            for k, o in enumerate(offsets):
                _assign(ndarray(out.buf, k * inner, shape, steps_of(shape), self.code), ndarray(self.buf, o, shape, steps, self.code))
        out = out.reshape(*lead_shape, *shape)
        if lead:
            order = list(range(len(lead_shape), len(lead_shape) + lead)) + list(range(len(lead_shape))) + list(range(len(lead_shape) + lead, out.ndim))
            out = out.transpose(order)
        return out

    def _resolve(self, key):
        parts = self._places(key)
        picks = [(k, p) for k, p in enumerate(parts) if isinstance(p, ndarray) and p.shape]
        shape = broadcast_shapes(*(p.shape for _, p in picks))
        lists = {k: broadcast_to(p, shape).flat_list() for k, p in picks}
        adjacent = [k for k, _ in picks] == list(range(picks[0][0], picks[0][0] + len(picks)))
        n = math.prod(shape)
        base, rest_shape, rest_steps, lead = self.at, [], [], 0
        offsets = [0] * n
        for axis, part in enumerate(parts):
            length, step = self.shape[axis], self.steps[axis]
            if axis in lists:
                for k, p in enumerate(lists[axis]):
                    if not -length <= p < length:
                        raise IndexError(f"{p} is out of {length}")
                    offsets[k] += (p + length if p < 0 else p) * step
            elif isinstance(part, slice):
                start, stop, by = part.indices(length)
                rest_shape.append(len(range(start, stop, by)))
                rest_steps.append(step * by)
                base += start * step
                if adjacent and axis < picks[0][0]:
                    lead += 1
            else:
                part = int(part)
                base += (part + length if part < 0 else part) * step
        rest_shape += self.shape[len(parts) :]
        rest_steps += self.steps[len(parts) :]
        return base, (lead, (shape, tuple(rest_shape)), tuple(rest_shape), tuple(rest_steps)), [base + o for o in offsets]

    def __setitem__(self, key, value):
        view = self._view(key)
        if view is not None:
            if not view.shape:
                self.buf[view.at] = _single(value, self.code)
                return
            if isinstance(value, (int, float)):
                _fill(view, value)
            else:
                _assign(view, asarray(value))
            return
        _, (lead, (picked, _), shape, steps), offsets = self._resolve(key)
        value = _as(asarray(value), self.code)
        whole = (*shape[:lead], *picked, *shape[lead:])
        value = broadcast_to(value, whole)
        if lead:
            order = list(range(lead, lead + len(picked))) + list(range(lead)) + list(range(lead + len(picked), len(whole)))
            value = value.transpose(order)
        flat = value.copy().reshape(len(offsets), *shape)
        for k, o in enumerate(offsets):
            if shape:
                _assign(ndarray(self.buf, o, shape, steps, self.code), flat[k])
            else:
                self.buf[o] = flat.buf[flat.at + k]

    # arithmetic

    def __add__(self, other):
        return binary("add", self, other)

    __radd__ = __add__

    def __sub__(self, other):
        return binary("subtract", self, other)

    def __rsub__(self, other):
        return binary("subtract", other, self)

    def __mul__(self, other):
        return binary("multiply", self, other)

    __rmul__ = __mul__

    def __truediv__(self, other):
        return binary("divide", self, other)

    def __rtruediv__(self, other):
        return binary("divide", other, self)

    def __neg__(self):
        return binary("subtract", 0.0, self)

    def __iadd__(self, other):
        return binary("add", self, other, self)

    def __isub__(self, other):
        return binary("subtract", self, other, self)

    def __imul__(self, other):
        return binary("multiply", self, other, self)

    def __itruediv__(self, other):
        return binary("divide", self, other, self)

    def __gt__(self, other):
        return binary("greater", self, other)

    def __lt__(self, other):
        return binary("less", self, other)

    def __ge__(self, other):
        return binary("greater_equal", self, other)

    def __le__(self, other):
        return binary("less_equal", self, other)

    def __eq__(self, other):
        return binary("equal", self, other)

    def __ne__(self, other):
        return binary("not_equal", self, other)

    __hash__ = None

    def __and__(self, other):
        return binary("logical_and", self, other)

    def __or__(self, other):
        return binary("logical_or", self, other)

    def __invert__(self):
        return binary("equal", self, 0.0)

    def __matmul__(self, other):
        other = asarray(other)
        if self.ndim == 1 and other.ndim == 1:
            return einsum("a,a->", self, other)
        left = "ab"[2 - self.ndim :] if self.ndim < 3 else "zab"
        right = "b" if other.ndim == 1 else ("bc" if other.ndim == 2 else "zbc")
        if self.ndim == 1:
            left = "b"
        result = ("z" if "z" in left + right else "") + ("a" if "a" in left else "") + ("c" if "c" in right else "")
        return einsum(f"{left},{right}->{result}", self, other)

    # reductions

    def sum(self, axis=None, keepdims=False):
        return reduce("add", self, axis, keepdims)

    def prod(self, axis=None, keepdims=False):
        return reduce("multiply", self, axis, keepdims)

    def min(self, axis=None, keepdims=False):
        return reduce("minimum", self, axis, keepdims)

    def max(self, axis=None, keepdims=False):
        return reduce("maximum", self, axis, keepdims)

    def any(self, axis=None):
        if axis is None:
            return any(self.flat_list())
        return reduce("logical_or", self, axis, False)

    def all(self, axis=None):
        if axis is None:
            return all(self.flat_list())
        return reduce("logical_and", self, axis, False)

    def argsort(self, axis=-1, kind=None):
        return argsort(self, axis)


def _in_row(shape, steps):
    step = 1
    for k in range(len(shape) - 1, -1, -1):
        if shape[k] != 1:
            if steps[k] != step:
                return False
            step *= shape[k]
    return True


def _restepped(shape, steps, new):
    """Steps of another shape over the same numbers, where a view will do."""
    old = [(n, s) for n, s in zip(shape, steps) if n != 1]
    result, k = [], 0
    for n in new:
        if n == 1:
            result.append(0)
            continue
        if k < len(old) and old[k][0] == n:
            result.append(old[k][1])
            k += 1
        else:
            return None
    return tuple(result) if k == len(old) else None


def _nested(flat, shape):
    if not shape:
        return flat[0]
    if len(shape) == 1:
        return flat
    inner = math.prod(shape[1:])
    return [_nested(flat[k * inner : (k + 1) * inner], shape[1:]) for k in range(shape[0])]


def _code(dtype):
    if dtype in (None, float, "float64", FLOAT):
        return FLOAT
    if dtype in (bool, BOOL):
        return BOOL
    return INT


def _single(value, code):
    if isinstance(value, ndarray):
        value = value.item()
    return float(value) if code == FLOAT else int(value)


_NOUGHT = {FLOAT: array(FLOAT, [0.0]), BOOL: array(BOOL, [0]), INT: array(INT, [0])}


def empty(shape, dtype=FLOAT):
    if shape.__class__ is tuple and dtype.__class__ is str:
        return ndarray(_NOUGHT[dtype] * math.prod(shape), 0, shape, steps_of(shape), dtype)
    if isinstance(shape, int):
        shape = (shape,)
    shape = tuple(map(int, shape))
    code = _code(dtype)
    buf = array(code, bytes(SIZE[code] * math.prod(shape)))
    return ndarray(buf, 0, shape, steps_of(shape), code)


zeros = empty


def full(shape, value, dtype=None):
    if isinstance(shape, int):
        shape = (shape,)
    shape = tuple(map(int, shape))
    if dtype is None:
        code = BOOL if isinstance(value, bool) else INT if isinstance(value, int) else FLOAT
    else:
        code = _code(dtype)
    return ndarray(array(code, [value]) * math.prod(shape), 0, shape, steps_of(shape), code)


_ONE = array(FLOAT, [1.0])


def ones(shape, dtype=FLOAT):
    if isinstance(shape, int):
        shape = (shape,)
    shape = tuple(map(int, shape))
    return ndarray(_ONE * math.prod(shape), 0, shape, steps_of(shape), FLOAT)


def asarray(value, dtype=None):
    if isinstance(value, ndarray):
        return value if dtype is None else _as(value, _code(dtype))
    return make(value, dtype)


def make(value, dtype=None):
    """An array of nested lists, of arrays or of a single number."""
    if isinstance(value, ndarray):
        return _as(value, value.code if dtype is None else _code(dtype)).copy()
    if isinstance(value, (int, float)):
        code = _code(dtype) if dtype else (BOOL if isinstance(value, bool) else INT if isinstance(value, int) else FLOAT)
        return ndarray(array(code, [value]), 0, (), (), code)
    items = list(value)
    if not items:
        return empty((0,), FLOAT if dtype is None else dtype)
    if isinstance(items[0], (list, tuple, ndarray, range)):
        parts = [asarray(item, dtype) for item in items]
        code = FLOAT if any(p.code == FLOAT for p in parts) else parts[0].code
        buf = array(code)
        for part in parts:
            if part.shape != parts[0].shape:
                raise ValueError("rows of unlike length")
            part = _as(part, code)
            if part.in_row():
                buf.extend(part.buf[part.at : part.at + part.size])
            else:
                buf.extend(array(code, part.flat_list()))
        shape = (len(parts), *parts[0].shape)
        return ndarray(buf, 0, shape, steps_of(shape), code)
    if dtype is not None:
        code = _code(dtype)
    elif all(isinstance(x, bool) for x in items):
        code = BOOL
    elif all(isinstance(x, int) for x in items):
        code = INT
    else:
        code = FLOAT
    if code != FLOAT:
        items = [int(x) for x in items]
    return ndarray(array(code, items), 0, (len(items),), (1,), code)


def _as(a, code):
    if a.code == code:
        return a
    items = a.flat_list()
    if code != FLOAT:
        items = [int(x) for x in items]
    return ndarray(array(code, items), 0, a.shape, steps_of(a.shape), code)


_TOGETHER = {}


def together(one, other):
    """The shape of two that go together."""
    if one == other:
        return one
    key = one, other
    known = _TOGETHER.get(key)
    if known is None:
        known = _TOGETHER[key] = broadcast_shapes(one, other)
    return known


def broadcast_shapes(*shapes):
    n = max(map(len, shapes))
    result = []
    for lengths in zip(*((1,) * (n - len(s)) + tuple(s) for s in shapes)):
        long = [x for x in lengths if x != 1]
        if any(x != long[0] for x in long):
            raise ValueError(f"shapes {shapes} do not go together")
        result.append(long[0] if long else 1)
    return tuple(result)


def _spread(a, shape):
    """Steps of an array over a wider shape."""
    if a.shape == shape:
        return a.steps
    lead = len(shape) - len(a.shape)
    return (0,) * lead + tuple(0 if n == 1 else s for n, s in zip(a.shape, a.steps))


def broadcast_to(a, shape):
    a = asarray(a)
    shape = tuple(shape)
    broadcast_shapes(a.shape, shape)
    return ndarray(a.buf, a.at, shape, _spread(a, shape), a.code)


def binary(op, a, b, out=None):
    """An operation on two arrays or numbers, element by element."""
    a = a if a.__class__ is ndarray else make(a)
    b = b if b.__class__ is ndarray else make(b)
    if a.code != FLOAT:
        a = _as(a, FLOAT)
    if b.code != FLOAT:
        b = _as(b, FLOAT)
    which = OPS[op]
    if out is None:
        shape = a.shape if a.shape == b.shape else together(a.shape, b.shape)
        if not shape:
            value = _PLAIN[which](a.buf[a.at], b.buf[b.at])
            return bool(value) if which >= COMPARE else number(value)
        result = empty(shape)
        _run_binary(which, shape, result, _spread(a, shape), a, _spread(b, shape), b)
        return _as(result, BOOL) if which >= COMPARE else result
    shape = out.shape
    if out.code != FLOAT:
        result = _as(out, FLOAT)
        _run_binary(which, shape, result, _spread(a, shape), a, _spread(b, shape), b)
        _assign(out, result)
    else:
        _run_binary(which, shape, out, _spread(a, shape), a, _spread(b, shape), b)
    return out


def _run_binary(which, shape, out, sa, a, sb, b):
    if _loops is None:
        f = _PLAIN[which]
        for o, p, q in _walk(shape, (out.at, a.at, b.at), (out.steps, sa, sb)):
            out.buf[o] = f(a.buf[p], b.buf[q])
        return
    meta = array("i", (*shape, *out.steps, *sa, *sb))
    _loops.binary(
        which,
        len(shape),
        meta.buffer_info()[0],
        out.buf.buffer_info()[0] + 8 * out.at,
        a.buf.buffer_info()[0] + 8 * a.at,
        b.buf.buffer_info()[0] + 8 * b.at,
    )


def _walk(shape, starts, steps):
    if 0 in shape:
        return
    for place in product(*(range(n) for n in shape)):
        yield tuple(at + sum(p * s for p, s in zip(place, step)) for at, step in zip(starts, steps))


def _div(x, y):
    try:
        return x / y
    except ZeroDivisionError:
        return math.nan if x == 0.0 or x != x else math.copysign(math.inf, x)


_PLAIN = [
    lambda x, y: x + y, lambda x, y: x - y, lambda x, y: x * y, _div, max, min,
    lambda x, y: float(x > y), lambda x, y: float(x < y), lambda x, y: float(x == y),
    lambda x, y: float(x != y), lambda x, y: float(x >= y), lambda x, y: float(x <= y),
    lambda x, y: float(bool(x) and bool(y)), lambda x, y: float(bool(x) or bool(y)),
]


def _assign(view, value):
    """Put an array into a view of the same or a wider shape."""
    if value.code != view.code:
        value = _as(value, view.code)
    shape = view.shape
    if value.shape != shape:
        while len(value.shape) > len(shape) and value.shape[0] == 1:
            value = ndarray(value.buf, value.at, value.shape[1:], value.steps[1:], value.code)
        if together(value.shape, shape) != shape:
            raise ValueError(f"{value.shape} does not fit {shape}")
    if value.buf is view.buf:
        value = value.copy()
    steps = _spread(value, shape)
    row = steps_of(shape)
    if steps == row and view.steps == row:
        n = math.prod(shape)
        view.buf[view.at : view.at + n] = value.buf[value.at : value.at + n]
        return
    if _loops is None or view.code != FLOAT:
        for o, p in _walk(shape, (view.at, value.at), (view.steps, steps)):
            view.buf[o] = value.buf[p]
        return
    meta = array("i", (*shape, *view.steps, *steps))
    _loops.copy(len(shape), meta.buffer_info()[0], view.address(), value.address())


def _fill(view, value):
    _assign(view, ndarray(array(view.code, [_single(value, view.code)]), 0, (), (), view.code))


_NEUTRAL = {"add": 0.0, "multiply": 1.0, "minimum": math.inf, "maximum": -math.inf, "logical_or": 0.0, "logical_and": 1.0}


def reduce(op, a, axis=None, keepdims=False):
    """Fold an array along one axis, some or all."""
    code = a.code
    if code != FLOAT:
        a = _as(a, FLOAT)
    nd = len(a.shape)
    if axis is None:
        axes = set(range(nd))
    elif isinstance(axis, int):
        axes = {axis % nd}
    else:
        axes = {x % nd for x in axis}
    kept = tuple(1 if k in axes else n for k, n in enumerate(a.shape))
    out = full(kept, _NEUTRAL[op], FLOAT)
    so = tuple(0 if k in axes else s for k, s in enumerate(steps_of(kept)))
    shape, sa = a.shape, a.steps
    if not shape:
        shape, so, sa = (1,), (0,), (0,)
    if _loops is None:
        f = _PLAIN[OPS[op]]
        for o, p in _walk(shape, (0, a.at), (so, sa)):
            out.buf[o] = f(out.buf[o], a.buf[p])
    elif a.size:
        meta = array("i", (*shape, *so, *so, *sa))
        _loops.binary(OPS[op], len(shape), meta.buffer_info()[0], out.address(), out.address(), a.address())
    if op.startswith("logical"):
        out = _as(out, BOOL)
    elif code == INT:
        out = _as(out, INT)
    if not keepdims:
        out = out.reshape(tuple(n for k, n in enumerate(a.shape) if k not in axes))
        if not out.shape:
            return number(out.buf[0])
    return out


def einsum(spec, *arrays):
    """Sum of products of two arrays."""
    inputs, result = spec.replace(" ", "").split("->")
    one, other = inputs.split(",")
    a, b = (_as(asarray(x), FLOAT) for x in arrays)
    letters = result + "".join(dict.fromkeys(c for c in one + other if c not in result))
    lengths = {}
    for names, x in ((one, a), (other, b)):
        for c, n in zip(names, x.shape, strict=True):
            if lengths.get(c, 1) == 1:
                lengths[c] = n
    out = zeros(tuple(lengths[c] for c in result))

    def steps(names, x):
        return tuple(
            sum(s for c, n, s in zip(names, x.shape, x.steps) if c == letter and n != 1) for letter in letters
        )

    so = steps(result, out)
    shape, sa, sb = tuple(lengths[c] for c in letters), steps(one, a), steps(other, b)
    if _loops is None:
        for o, p, q in _walk(shape, (0, a.at, b.at), (so, sa, sb)):
            out.buf[o] += a.buf[p] * b.buf[q]
    elif 0 not in shape:
        meta = array("i", (*shape, *so, *sa, *sb))
        _loops.contract(len(shape), meta.buffer_info()[0], out.address(), a.address(), b.address())
    return out if out.shape else number(out.buf[0])


def nonzero(a):
    a = asarray(a)
    found = [k for k, x in enumerate(a.flat_list()) if x]
    if a.ndim == 1:
        return (make(found, INT),)
    result = []
    for n, s in zip(a.shape, steps_of(a.shape)):
        result.append(make([k // s % n for k in found], INT))
    return tuple(result)


def argsort(a, axis=-1, kind=None):
    a = asarray(a)
    if a.ndim == 1:
        items = a.flat_list()
        return make(sorted(range(len(items)), key=items.__getitem__), INT)
    axis %= a.ndim
    moved = moveaxis(a, axis, -1)
    n = moved.shape[-1]
    flat = moved.flat_list()
    order = []
    for k in range(0, len(flat), n):
        order += sorted(range(n), key=flat[k : k + n].__getitem__)
    return moveaxis(ndarray(array(INT, order), 0, moved.shape, steps_of(moved.shape), INT), -1, axis)


def moveaxis(a, source, target):
    nd = a.ndim
    order = [k for k in range(nd) if k != source % nd]
    order.insert(target % nd, source % nd)
    return a.transpose(order)
