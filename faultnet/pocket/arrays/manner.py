"""What arrays do of themselves: brackets, arithmetic, methods. Given to them when imported."""

from collections.abc import Callable, Iterator

from faultnet.pocket.arrays.copies import cast, copied, tolist
from faultnet.pocket.arrays.elementwise import binary, invert, onto, unary
from faultnet.pocket.arrays.folding import Axes, argmax, argmin, argsort, cumsum, fold
from faultnet.pocket.arrays.keys import given, got
from faultnet.pocket.arrays.kinds import ADD, AND, BINARY, MAXIMUM, MINIMUM, MULTIPLY, OR, kind_of
from faultnet.pocket.arrays.made import asarray
from faultnet.pocket.arrays.ndarray import Array, Scalar
from faultnet.pocket.arrays.number import Number
from faultnet.pocket.arrays.products import matmul
from faultnet.pocket.arrays.shaping import ravel, reshape, take, transpose

Method = Callable[..., object]

_ARITHMETIC = {
    "add": "add",
    "sub": "subtract",
    "mul": "multiply",
    "truediv": "divide",
    "floordiv": "floor_divide",
    "mod": "remainder",
    "and": "bitwise_and",
    "or": "bitwise_or",
    "xor": "bitwise_xor",
    "lshift": "left_shift",
    "rshift": "right_shift",
}
_COMPARED = {
    "lt": "less",
    "le": "less_equal",
    "gt": "greater",
    "ge": "greater_equal",
    "eq": "equal",
    "ne": "not_equal",
}
FOLDED = {
    "sum": ADD,
    "prod": MULTIPLY,
    "min": MINIMUM,
    "max": MAXIMUM,
    "any": OR,
    "all": AND,
}


def _operator(operation: int) -> Method:
    def apply(self: Array, other: object) -> Array | Scalar:
        return binary(operation, self, other)

    return apply


def _turned(operation: int) -> Method:
    def apply(self: Array, other: object) -> Array | Scalar:
        return binary(operation, other, self)

    return apply


def _in_place(operation: int) -> Method:
    def apply(self: Array, other: object) -> Array:
        return onto(operation, self, self, other)

    return apply


def _unary(name: str) -> Method:
    def apply(self: Array) -> Array | Scalar:
        return unary(name, self)

    return apply


def folding(operation: int) -> Method:
    """Return the method that folds an array by an operation."""

    def apply(self: Array, axis: Axes = None, *, keepdims: bool = False) -> Array | Scalar:
        return fold(operation, self, axis, keepdims)

    return apply


def _iterated(self: Array) -> Iterator[Array | Scalar]:
    return (got(self, place) for place in range(len(self)))


def _astype(self: Array, dtype: object, *, copy: bool = True) -> Array:
    kind = kind_of(dtype)
    return copied(self, kind) if copy else cast(self, kind)


def _right_matmul(self: Array, other: object) -> Array | Scalar:
    return matmul(other, self)


def _told(self: Array) -> str:
    return f"array({tolist(self)})"


def _methods() -> dict[str, Method]:
    """Return all that is given to arrays, by name."""
    found: dict[str, Method] = {
        "__getitem__": got,
        "__setitem__": given,
        "__iter__": _iterated,
        "__invert__": invert,
        "__matmul__": matmul,
        "__rmatmul__": _right_matmul,
        "__neg__": _unary("negative"),
        "__abs__": _unary("abs"),
        "__repr__": _told,
    }
    for name, operation in _ARITHMETIC.items():
        found[f"__{name}__"] = _operator(BINARY[operation])
        found[f"__r{name}__"] = _turned(BINARY[operation])
        found[f"__i{name}__"] = _in_place(BINARY[operation])
    found |= {f"__{name}__": _operator(BINARY[own]) for name, own in _COMPARED.items()}
    found |= {name: folding(operation) for name, operation in FOLDED.items()}
    named = (argmax, argmin, argsort, cumsum, ravel, reshape, take, tolist, transpose)
    found |= {method.__name__: method for method in named}
    return found | {"copy": copied, "astype": _astype}


def _of_number(self: Number, name: str) -> object:
    """Return what a single number is asked for as an array."""
    if name.startswith("__"):
        raise AttributeError(name)
    return getattr(asarray(self), name)


def _in_number(self: Number, key: object) -> Array | Scalar:
    return got(asarray(self), key)


def give_manners() -> None:
    """Give arrays, and single numbers out of them, what they do."""
    for name, method in (_methods() | {"T": Array.turned}).items():
        setattr(Array, name, method)
    for name, method in (("__getattr__", _of_number), ("__getitem__", _in_number)):
        setattr(Number, name, method)


give_manners()
