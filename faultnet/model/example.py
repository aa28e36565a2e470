"""Cases that authors write beside the knowledge they examine."""

import msgspec

from faultnet.model.evidence import Evidence
from faultnet.model.origin import Origin


class Expect(msgspec.Struct, frozen=True):
    """What must come out; every entry that is given is examined.

    ``first`` holds when the first cause is one of those named; ``within`` maps a
    rank to the causes that must all be at it or above.
    """

    first: tuple[str, ...] = ()
    within: dict[int, tuple[str, ...]] = {}
    before: tuple[tuple[str, str], ...] = ()
    at_least: dict[str, float] = {}
    next: tuple[str, ...] = ()
    danger: str = ""

    @property
    def causes(self) -> tuple[str, ...]:
        """The causes that are expected to stand high."""
        within = (cause for causes in self.within.values() for cause in causes)
        return (*self.first, *self.at_least, *(first for first, _ in self.before), *within)


class Example(msgspec.Struct, frozen=True):
    """One case: a system, the evidence, the reason and what must come out."""

    id: str
    system: str
    reason: str
    evidence: Evidence
    expect: Expect
    origin: Origin
    provenance: tuple[str, ...] = ()
