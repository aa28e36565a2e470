"""Cases that were not used: all are counted, the first of each reason are named."""

from collections import Counter
from collections.abc import Iterable

import msgspec

from faultnet.learning.source import SetAside

NAMED = 50
"""Cases set aside that are named for each reason."""


class Aside(msgspec.Struct, frozen=True):
    """Cases that were not used, counted by reason; the first of each are named."""

    counts: Counter[str] = msgspec.field(default_factory=Counter)
    named: dict[str, tuple[SetAside, ...]] = {}

    def __add__(self, other: "Aside") -> "Aside":
        """Return both together."""
        named = {
            code: (*self.named.get(code, ()), *other.named.get(code, ()))[:NAMED]
            for code in (*self.named, *other.named)
        }
        return Aside(self.counts + other.counts, named)

    def first(self, few: int) -> tuple[SetAside, ...]:
        """Return the first few of each reason."""
        return tuple(each for named in self.named.values() for each in named[:few])


def aside(those: Iterable[SetAside]) -> Aside:
    """Return cases as not used, row by row where several were lost together."""
    counts, named = Counter[str](), dict[str, list[SetAside]]()
    for each in those:
        counts[each.code] += each.rows
        first = named.setdefault(each.code, [])
        if len(first) < NAMED:
            first.append(each)
    return Aside(counts, {code: tuple(first) for code, first in named.items()})
