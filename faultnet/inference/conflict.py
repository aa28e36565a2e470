"""Impossible evidence: which answers cannot all be true together."""

from collections.abc import Callable, Sequence
from typing import TypeVar

T = TypeVar("T")


def conflicting(items: Sequence[T], possible: Callable[[Sequence[T]], bool]) -> tuple[T, ...]:
    """Return an irreducible subset of items that is impossible by itself.

    ``possible`` says whether a subset can be; the whole must be impossible. Leaving out
    any one item of the result makes it possible.
    """
    kept = list(items)
    for item in list(items):
        rest = [other for other in kept if other is not item]
        if not possible(rest):
            kept = rest
    return tuple(kept)
