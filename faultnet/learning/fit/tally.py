"""What became of the cases that were read: how many are used, and why the others are not."""

from collections.abc import Iterable

import msgspec

from faultnet.learning.source import Batch, SetAside

SHOWN = 5
"""Cases of a code that are named."""


class Aside(msgspec.Struct, frozen=True):
    """How many were set aside for a reason of one kind; the ``first`` of them are named."""

    code: str
    count: int
    first: tuple[SetAside, ...]


class Tally(msgspec.Struct, frozen=True):
    """How many cases were used, and what was set aside by code, the most frequent first.

    ``other_versions`` counts those used that were closed with other knowledge files.
    """

    used: int
    aside: tuple[Aside, ...]
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
        self._counts: dict[str, int] = {}
        self._first: dict[str, list[SetAside]] = {}

    def add(self, batch: Batch) -> None:
        """Count a batch."""
        self._used += len(batch.cases)
        self._others += sum(case.knowledge not in {"", self._version} for case in batch.cases)
        self.add_aside(batch.set_aside)

    def add_aside(self, set_aside: Iterable[SetAside]) -> None:
        """Count what was set aside."""
        for each in set_aside:
            self._counts[each.code] = self._counts.get(each.code, 0) + each.rows
            first = self._first.setdefault(each.code, [])
            if len(first) < SHOWN:
                first.append(each)

    @property
    def tally(self) -> Tally:
        """What was counted so far."""
        by_count = sorted(self._counts.items(), key=lambda each: (-each[1], each[0]))
        aside = tuple(Aside(code, n, tuple(self._first[code])) for code, n in by_count)
        return Tally(self._used, aside, self._others)


def told(tally: Tally) -> tuple[str, ...]:
    """Return a tally in words, line by line."""
    lines = [f"{tally.read} closed cases read, {tally.used} used, {tally.set_aside} set aside."]
    if tally.other_versions:
        lines.append(f"{tally.other_versions} of those used were closed with other files.")
    for each in tally.aside:
        lines.append(f"{each.count} {WORDS.get(each.code, each.code)}:")
        lines += [f"  {one.place}: {one.reason}" for one in each.first]
        more = each.count - sum(one.rows for one in each.first)
        if more:
            lines.append(f"  and {more} more")
    return tuple(lines)


WORDS = {
    "not-json": "could not be read",
    "not-in-form": "have another form than a case has",
    "too-long": "are longer than any case",
    "damaged": "lie in a damaged place",
    "incomplete": "lack events that never arrived",
    "not-closed": "were opened again meanwhile",
    "no-id": "have no id that can be used",
    "no-time": "have no time that can be read",
    "no-time-zone": "have a time without its zone",
    "closed-first": "were closed before they were opened",
    "in-future": "are of a day to come",
    "too-early": "are older than can be",
    "unknown-id": "name what the files do not hold",
    "unknown-answer": "have an answer that the files do not hold",
    "unfit-reading": "have a reading that cannot be used",
    "impossible-number": "have a number that cannot be",
    "same-id": "have an id that was read before",
    "same-content": "were read before under another id",
    "contradicts": "contradict themselves",
}
"""What the cases of each code are or have."""
