"""What became of the cases that were read: how many are used, and why the others are not."""

from collections.abc import Iterable

import msgspec

from faultnet.learning.aside import Aside, aside
from faultnet.learning.source import Batch, SetAside

SHOWN = 5
"""Cases of a code that are named."""


class OfCode(msgspec.Struct, frozen=True):
    """How many were set aside for a reason of one kind; the ``first`` of them are named."""

    code: str
    count: int
    first: tuple[SetAside, ...]


class Tally(msgspec.Struct, frozen=True):
    """How many cases were used, and what was set aside by code, the most frequent first.

    ``other_versions`` counts those used that were closed with other knowledge files.
    """

    used: int
    aside: tuple[OfCode, ...]
    other_versions: int = 0

    @property
    def set_aside(self) -> int:
        """How many were not used."""
        return sum(each.count for each in self.aside)

    @property
    def read(self) -> int:
        """How many there were."""
        return self.used + self.set_aside


class Counting:
    """A tally in the making, batch by batch; it keeps a few names and nothing else."""

    def __init__(self, version: str = "") -> None:
        """``version`` is that of the knowledge."""
        self._version = version
        self._used = self._others = 0
        self._aside = Aside()

    def add(self, batch: Batch) -> None:
        """Count a batch."""
        self._used += len(batch.cases)
        self._others += sum(case.knowledge not in {"", self._version} for case in batch.cases)
        self.add_aside(batch.set_aside)

    def add_aside(self, set_aside: Iterable[SetAside]) -> None:
        """Count what was set aside."""
        self._aside += aside(set_aside)

    @property
    def tally(self) -> Tally:
        """What was counted so far."""
        by_count = sorted(self._aside.counts.items(), key=lambda each: (-each[1], each[0]))
        named = self._aside.named
        of_codes = tuple(OfCode(code, n, named[code][:SHOWN]) for code, n in by_count)
        return Tally(self._used, of_codes, self._others)


def lines_of(tally: Tally) -> tuple[str, ...]:
    """Return a tally in words, line by line."""
    used = f"{tally.used} used, {tally.set_aside} set aside"
    lines = [f"{number_of_cases(tally.read)} read: {used}."]
    if tally.other_versions:
        lines.append(f"Closed with other files than these, of those used: {tally.other_versions}.")
    for each in tally.aside:
        lines.append(f"Set aside: {WORDS.get(each.code, each.code)} ({each.count})")
        lines += [f"  {one.place}: {one.reason}" for one in each.first]
        more = each.count - sum(one.rows for one in each.first)
        if more:
            lines.append(f"  and {more} more")
    return tuple(lines)


def number_of_cases(number: int) -> str:
    """Return how many closed cases, in words."""
    return f"{number} closed case{'' if number == 1 else 's'}"


WORDS = {
    "not-json": "cannot be read",
    "not-in-form": "has another form than a case",
    "too-long": "longer than any case",
    "damaged": "damaged",
    "incomplete": "lacks events that never arrived",
    "not-closed": "opened again meanwhile",
    "no-id": "no id that can be used",
    "no-time": "no time that can be read",
    "no-time-zone": "a time without its zone",
    "closed-first": "closed before it was opened",
    "in-future": "of a day to come",
    "too-early": "older than can be",
    "unknown-id": "names what the files do not hold",
    "unknown-answer": "an answer that the files do not hold",
    "unfit-reading": "a reading that cannot be used",
    "impossible-number": "a number that cannot be",
    "same-id": "an id that was read before",
    "same-content": "read before under another id",
    "contradicts": "contradicts itself",
}
"""What a case of each code is or has."""
