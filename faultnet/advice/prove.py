"""Cases proved: what authors expected beside the knowledge, and what came."""

from collections.abc import Iterator, Sequence
from functools import cached_property

import msgspec

from faultnet.advice.against import Against, weigh_against
from faultnet.advice.possibilities import UnfitReadingError
from faultnet.advice.ranking import Likeliest, RankedCause, likeliest
from faultnet.advice.steps import next_steps
from faultnet.advice.subject import Subject, UnknownNameError
from faultnet.inference.engine import TooLargeError
from faultnet.model.example import Example, Expect
from faultnet.model.origin import Origin

TOP = 5
"""Causes that a proof keeps, for the reader of a failure."""


class Miss(msgspec.Struct, frozen=True):
    """An expectation that was not met; ``expectation`` is its key in the case.

    ``instead`` is the cause that came before the one ``wanted``, where it is about two causes.
    """

    expectation: str
    expected: str
    came: str
    instead: str = ""
    wanted: str = ""


class Proof(msgspec.Struct, frozen=True):
    """What came of one case; ``top`` are the likeliest causes.

    ``against`` weighs the cause that came first against the one expected, where one was.
    """

    case: str
    system: str
    reason: str
    place: Origin
    misses: tuple[Miss, ...]
    top: tuple[RankedCause, ...] = ()
    against: Against | None = None

    @property
    def passed(self) -> bool:
        """Whether every expectation was met."""
        return not self.misses


def proof_of(subject: Subject, example: Example) -> Proof:
    """Return what comes of a case; evidence that gives no ranking is a miss."""
    try:
        ranking = likeliest(subject, example.evidence)
        misses = missed(subject, example, ranking)
    except (TooLargeError, UnfitReadingError, UnknownNameError) as error:
        return _proof(example, (Miss("given", "evidence that can be ranked", str(error)),))
    against = _against(subject, example, misses)
    return _proof(example, misses, ranking.causes[:TOP], against)


def missed(subject: Subject, example: Example, ranking: Likeliest) -> tuple[Miss, ...]:
    """Return what a case misses in the ranking of its evidence, and in its next step."""
    if ranking.conflict:
        said = ", ".join(f"{each.about}={each.answer}" for each in ranking.conflict)
        return (Miss("given", "answers that can be true together", f"{said} cannot"),)
    return (*_Came(ranking).missed(example.expect), *_next(subject, example))


def _against(subject: Subject, example: Example, misses: tuple[Miss, ...]) -> Against | None:
    """Weigh the first two causes that a miss is about."""
    for miss in misses:
        if {miss.wanted, miss.instead} <= subject.causes.keys():
            return weigh_against(subject, example.evidence, miss.instead, miss.wanted)
    return None


def _proof(
    example: Example,
    misses: tuple[Miss, ...],
    top: tuple[RankedCause, ...] = (),
    against: Against | None = None,
) -> Proof:
    return Proof(example.id, example.system, example.reason, example.origin, misses, top, against)


class _Came(msgspec.Struct, frozen=True, dict=True):
    """A ranking, asked by cause."""

    ranking: Likeliest

    @cached_property
    def places(self) -> dict[str, int]:
        return {cause.id: place for place, cause in enumerate(self.ranking.causes, 1)}

    @cached_property
    def chances(self) -> dict[str, float]:
        return {cause.id: cause.probability for cause in self.ranking.causes}

    def chance(self, cause: str) -> float:
        return self.chances.get(cause, 0.0)

    def told(self, cause: str) -> str:
        if cause not in self.places:
            return f"{cause} is impossible here"
        return f"{cause} is number {self.places[cause]} with {self.chances[cause]:.1%}"

    def missed(self, expect: Expect) -> Iterator[Miss]:
        """Yield every expectation of the ranking that is not met."""
        yield from self._first(expect.first)
        for most, causes in expect.within.items():
            for cause in causes:
                if self.places.get(cause, most + 1) > most:
                    yield self._miss(f"top-{most}", cause, self.told(cause), cause)
        for sooner, later in expect.before:
            if not self.chance(sooner) > self.chance(later):
                told = f"{self.told(sooner)}, {self.told(later)}"
                yield Miss("before", f"{sooner} before {later}", told, later, sooner)
        for cause, least in expect.at_least.items():
            if self.chance(cause) < least:
                yield self._miss("at-least", f"{cause} with {least:.1%}", self.told(cause), cause)
        yield from self._danger(expect.danger)

    def _first(self, expected: Sequence[str]) -> Iterator[Miss]:
        first = next(iter(self.places), "no cause")
        if expected and first not in expected:
            best = max(expected, key=self.chance)
            yield self._miss("first", " or ".join(expected), self.told(first), best)

    def _miss(self, expectation: str, expected: str, came: str, wanted: str) -> Miss:
        """A miss of one cause; what came instead is the likeliest of the others."""
        others = (cause for cause in self.places if cause != wanted)
        return Miss(expectation, expected, came, next(others, ""), wanted)

    def _danger(self, expected: str) -> Iterator[Miss]:
        met = [danger.finding for danger in self.ranking.dangers]
        if expected and expected not in met:
            yield Miss("danger", expected, ", ".join(met) or "no danger")


def _next(subject: Subject, example: Example) -> Iterator[Miss]:
    """Yield a miss when a technician's best step is none of those expected."""
    expected = example.expect.next
    if not expected:
        return
    steps = next_steps(subject, example.evidence).steps
    if not steps:
        yield Miss("next", " or ".join(expected), "no step")
    elif steps[0].id not in expected:
        priced = [steps[0], *(step for step in steps if step.id in expected)]
        told = ", ".join(f"{s.id} with {s.expected_total:.0f} minutes in all" for s in priced)
        yield Miss("next", " or ".join(expected), told)
