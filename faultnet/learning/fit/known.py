"""Whether the knowledge of today holds all that a case names, and its numbers can be."""

import math
from collections.abc import Collection, Iterator

from faultnet.advice.observe import observe
from faultnet.advice.possibilities import UnfitReadingError
from faultnet.advice.standing import SPECIALIST
from faultnet.advice.subject import Subject, UnknownNameError
from faultnet.authoring.nearest import did_you_mean
from faultnet.cases.events import ENDS
from faultnet.cases.fold import CALLED
from faultnet.learning.closed import ClosedCase
from faultnet.learning.fit.unfit import UnfitError
from faultnet.learning.reading.no_longer import SAY_SO
from faultnet.model.knowledge import Knowledge
from faultnet.network.build import UNLISTED

LONGEST = 200
"""Letters of an id."""


def check_named(case: ClosedCase) -> None:
    """Raise ``UnfitError`` for a case that cannot be told from others by its id."""
    if not case.id.strip() or not case.id.isprintable() or len(case.id) > LONGEST:
        reason = f"its id is empty, longer than {LONGEST} letters, or holds what cannot be shown"
        raise UnfitError("no-id", reason)


def check_known(subject: Subject, case: ClosedCase) -> None:
    """Raise ``UnfitError`` for the first thing that is not known, or no number that can be."""
    try:
        observe(subject, case.evidence)
    except UnknownNameError as error:
        code = "unknown-answer" if error.kind.startswith(("answer", "value")) else "unknown-id"
        raise UnfitError(code, f"{error!s} {SAY_SO}") from None
    except UnfitReadingError as error:
        raise UnfitError("unfit-reading", str(error)) from None
    for kind, name, known in _named(subject, case):
        if name not in known:
            told = f"there is no {kind} `{name[:60]}`. {did_you_mean(name, known)}".rstrip()
            raise UnfitError("unknown-id", f"{told} {SAY_SO}")
    _check_numbers(case)


def _named(subject: Subject, case: ClosedCase) -> Iterator[tuple[str, str, Collection[str]]]:
    """Yield what is named beside the answers: what it is, its id, and what is known of the kind."""
    known = subject.knowledge
    yield "way to end a case", case.ending, ENDS
    causes = [*subject.causes, UNLISTED]
    yield from (("cause", each.cause, causes) for each in case.confirmed)
    kinds: dict[str, Collection[str]] = {
        "check": known.checks,
        "repair": known.repairs,
        "specialist": (SPECIALIST,),
    }
    yield from ((each.kind, each.step, kinds[each.kind]) for each in case.steps)
    yield from (("part of the stock", each, known.stock) for each in case.parts)
    asked = [*subject.findings, *subject.roots]
    yield from (("finding", each, asked) for each in case.unknown)
    yield from _beside(known, subject.findings, case)


def _beside(
    known: Knowledge, findings: Collection[str], case: ClosedCase
) -> Iterator[tuple[str, str, Collection[str]]]:
    made = (each for each in case.evidence.set_ups if not each.startswith(CALLED))
    yield from (("set-up", each, known.set_ups) for each in made)
    yield from (("finding", each, findings) for each in case.evidence.made_safe)
    for round_ in case.evidence.rounds:
        yield from (("finding", each, findings) for each in (*round_.spoiled, *round_.redraws))


def _check_numbers(case: ClosedCase) -> None:
    for step in case.steps:
        minutes = step.minutes
        if minutes is not None and not (math.isfinite(minutes) and minutes >= 0.0):
            raise UnfitError("impossible-number", f"`{step.step}` took {minutes:g} minutes")
    if case.trips < 0:
        raise UnfitError("impossible-number", f"somebody drove there {case.trips} times")
    rounds = len(case.evidence.rounds)
    for number in (*(c.round for c in case.confirmed), *(s.round for s in case.steps)):
        if not 0 <= number < rounds:
            reason = f"round {number} is named, but its rounds are 0 to {rounds - 1}"
            raise UnfitError("impossible-number", reason)
