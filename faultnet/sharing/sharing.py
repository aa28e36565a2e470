"""Who answers many questions; the answers come in the order of the questions."""

from collections.abc import Callable, Iterable, Iterator
from typing import Any, Protocol, TypeVar

import msgspec

from faultnet.sharing.workers import answered

T = TypeVar("T")
R = TypeVar("R")


class Sharing(Protocol):
    """Shares questions out.

    What comes of them depends on the questions alone, not on who answers how many: whoever
    adds answers up does so in their order, over parts that do not depend on the workers.
    """

    def each(self, do: Callable[[T], R], asked: Iterable[T]) -> Iterator[R]:
        """Yield what ``do`` makes of each, in order. ``do`` and the questions can be pickled."""
        ...


class Here(msgspec.Struct, frozen=True):
    """Processes of this machine, or this process alone where there is one worker."""

    workers: int = 1

    def each(self, do: Callable[[Any], R], asked: Iterable[Any]) -> Iterator[R]:
        """Yield what ``do`` makes of each, in order."""
        return answered(do, asked, self.workers)
