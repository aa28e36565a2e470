"""The arrays put in the place of the package `numpy`, before a room asks for it."""

import sys
from importlib.machinery import ModuleSpec
from types import ModuleType
from typing import Final

NUMPY: Final = "numpy"
TYPING: Final = "numpy.typing"


class NDArray:
    """What the rooms annotate with: an array of some type."""

    def __class_getitem__(cls, _: object) -> type:
        return cls


def stand_in() -> ModuleType:
    """Put the arrays in the place of `numpy` and `numpy.typing`; once is enough.

    Raises `RuntimeError` where the package itself has been imported before.
    """
    known = sys.modules.get(NUMPY)
    if known is not None:
        if getattr(known, "__getattr__", None) is not _missing:
            raise RuntimeError("numpy itself is imported: nothing can stand in for it")
        return known
    from faultnet.pocket.arrays.names import NAMES

    typing = _module(TYPING, {"NDArray": NDArray, "ArrayLike": object})
    package = _module(NUMPY, {**NAMES, "typing": typing, "__getattr__": _missing, "__path__": []})
    sys.modules.update({NUMPY: package, TYPING: typing})
    return package


def _module(name: str, names: dict[str, object]) -> ModuleType:
    result = ModuleType(name, __doc__)
    result.__spec__ = ModuleSpec(name, None)
    vars(result).update(names)
    return result


def _missing(name: str) -> object:
    raise AttributeError(f"the arrays of the pocket page have no {name!r}")
