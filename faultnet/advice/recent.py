"""What was worked out last, kept so that it is not worked out again."""

from collections.abc import Callable, Hashable
from threading import Lock
from typing import Any, TypeVar

T = TypeVar("T")


class Recent:
    """The values that were asked for last, so many of them; threads may share it."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._kept: dict[Hashable, Any] = {}
        self._changing = Lock()

    def once(self, key: Hashable, make: Callable[[], T]) -> T:
        """Return what was made under a key, made once; what ``make`` raises is not kept."""
        with self._changing:
            if key in self._kept:
                kept: T = self._kept.pop(key)
                self._kept[key] = kept
                return kept
        value = make()
        with self._changing:
            self._kept[key] = value
            if len(self._kept) > self._most:
                self._kept.pop(next(iter(self._kept)))
        return value
