"""What was seen to be wrong and stood in no file: its words, and what else was known of it."""

import hashlib

import msgspec

from faultnet.learning.closed import ClosedCase, Confirmation
from faultnet.learning.newcomers.words import words_of
from faultnet.learning.source import Part
from faultnet.model.finding import CANNOT
from faultnet.model.knowledge import Knowledge
from faultnet.network.build import UNLISTED

KEPT = 3000
"""Sightings that are looked at; of more, so many are drawn by lot."""


class Sighting(msgspec.Struct, frozen=True):
    """One case: what it was in words, the answers that were given, and what had happened before.

    ``answers`` maps findings to the abnormal answer, or to nothing where all was normal.
    """

    case: str
    system: str
    opened: str
    region: str
    words: frozenset[str]
    answers: dict[str, str]
    circumstances: dict[str, bool]

    @property
    def lot(self) -> bytes:
        """A number drawn for the case that depends on its id alone."""
        return hashlib.sha256(self.case.encode("utf-8", "replace")).digest()


class Gathered(msgspec.Struct, frozen=True):
    """Sightings in the order of their lots, how many there were, and all cases by system.

    Cases in which nobody saw what it was are not among these.
    """

    sightings: tuple[Sighting, ...] = ()
    unlisted: int = 0
    cases: dict[str, int] = {}

    def add(self, other: "Gathered") -> "Gathered":
        """Return both together."""
        systems = (*self.cases, *other.cases)
        cases = {name: self.cases.get(name, 0) + other.cases.get(name, 0) for name in systems}
        both = sorted((*self.sightings, *other.sightings), key=lambda s: (s.lot, s.case))
        return Gathered(tuple(both[:KEPT]), self.unlisted + other.unlisted, cases)


class Gathering(msgspec.Struct, frozen=True):
    """Gathers the sightings of a part; ``normal`` are the normal answers of findings."""

    normal: dict[str, str]

    def __call__(self, part: Part) -> Gathered:
        """Return what a part holds."""
        sightings: list[Sighting] = []
        cases: dict[str, int] = {}
        for case in part.read().cases:
            if case.confirmed:
                cases[case.system] = cases.get(case.system, 0) + 1
            seen = next((c for c in case.confirmed if c.cause == UNLISTED), None)
            if seen is not None:
                sightings.append(self._sighting(case, seen))
        return Gathered((), 0, {}).add(Gathered(tuple(sightings), len(sightings), cases))

    def _sighting(self, case: ClosedCase, seen: Confirmation) -> Sighting:
        answers: dict[str, str] = {}
        for round_ in case.evidence.rounds[: seen.round + 1]:
            for answer in round_.answers:
                normal = self.normal.get(answer.finding)
                if normal is not None and answer.answer != CANNOT:
                    is_normal = answer.answer in ("no", normal)
                    answers[answer.finding] = "" if is_normal else answer.answer
        texts = " ".join(c.text for c in case.confirmed if c.cause == UNLISTED)
        return Sighting(
            case.id,
            case.system,
            case.opened,
            case.region,
            words_of(texts),
            answers,
            dict(case.evidence.circumstances),
        )


def gathering(knowledge: Knowledge) -> Gathering:
    """Return what gathers sightings."""
    return Gathering({name: each.normal for name, each in knowledge.findings.items()})
