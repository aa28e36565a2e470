"""Answers added up in an order that depends on the parts alone."""

from collections.abc import Callable, Iterable
from typing import TypeVar

from faultnet.sharing.sharing import Sharing

T = TypeVar("T")
R = TypeVar("R")


def added_up(
    sharing: Sharing, do: Callable[[T], R], parts: Iterable[T], add: Callable[[R, R], R]
) -> R:
    """Return the sum of what ``do`` makes of the parts; raise ``ValueError`` where there are none.

    Neighbours are added, then the sums of neighbours, and so on: floating sums are the same to
    the last bit whoever answers how many, and rounding grows with the logarithm of the number
    of parts (N. Higham, Accuracy and Stability of Numerical Algorithms, 2nd ed., section 4.2).
    Of n parts no more than log2(n) + 1 sums are kept at a time. ``add`` may write into what it
    is given first.
    """
    sums: list[tuple[int, R]] = []
    for answer in sharing.each(do, parts):
        size, whole = 1, answer
        while sums and sums[-1][0] == size:
            whole = add(sums.pop()[1], whole)
            size *= 2
        sums.append((size, whole))
    if not sums:
        raise ValueError("there are no parts to add up")
    whole = sums.pop()[1]
    while sums:
        whole = add(sums.pop()[1], whole)
    return whole
