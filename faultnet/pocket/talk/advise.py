"""`rank` and `next`: what the commands of these names say, out of any evidence."""

from collections.abc import Callable
from typing import Literal

import msgspec

from faultnet.advice.given import Given, GivenRound, Number, UnfitEvidenceError, evidence_of
from faultnet.advice.grounds import grounds
from faultnet.advice.possibilities import UnfitReadingError
from faultnet.advice.ranking import rank
from faultnet.advice.steps import next_steps
from faultnet.advice.subject import Subject, UnknownNameError
from faultnet.inference.engine import TooLargeError
from faultnet.model.evidence import Answer, Evidence
from faultnet.pocket.talk.carried import MOST_WORK, Carried
from faultnet.pocket.talk.trouble import TroubleError
from faultnet.shapes.plain import Json, plain
from faultnet.shapes.ranking import rank_shape
from faultnet.shapes.steps import next_shape
from faultnet.shapes.version import SCHEMA_VERSION

AGAIN = "Look again, or leave it out."

Make = Callable[[Subject, Evidence], msgspec.Struct]
"""What is worked out of a system and evidence."""


class EvidenceAsked(msgspec.Struct, frozen=True):
    """What was said in the open round, and ``before`` it in the rounds that repairs ended."""

    answers: tuple[Answer, ...] = ()
    layout: dict[str, str] = {}
    circumstances: dict[str, bool] = {}
    measured: tuple[Number, ...] = ()
    made_safe: tuple[str, ...] = ()
    set_ups: tuple[str, ...] = ()
    before: tuple[GivenRound, ...] = ()


class AdviceAsked(msgspec.Struct, frozen=True):
    """A system, and all that is known of one trouble; ``who`` is there to do the work."""

    system: str
    evidence: EvidenceAsked
    who: Literal["caller", "technician", "qualified"] = "technician"


def ranked(carried: Carried, asked: AdviceAsked) -> Json:
    """Rank the causes."""
    return _advised(carried, asked, lambda subject, at: rank_shape(rank(subject, at), at))


def next_told(carried: Carried, asked: AdviceAsked) -> Json:
    """Price the next steps."""
    return _advised(
        carried, asked, lambda subject, at: next_shape(next_steps(subject, at, asked.who))
    )


def _advised(carried: Carried, asked: AdviceAsked, make: Make) -> Json:
    """Return what was made of the evidence; raise ``TroubleError`` where it is too much."""
    subject, evidence = _read(carried, asked)
    try:
        grounds(subject, evidence).refuse_beyond(MOST_WORK)
        return {"schema_version": SCHEMA_VERSION, **plain(make(subject, evidence))}
    except TooLargeError as error:
        raise too_large(error) from None


def too_large(error: TooLargeError) -> TroubleError:
    """Return the trouble with evidence that cannot be reckoned with exactly."""
    mend = f"Leave out one or more of: {', '.join(error.leave_out)}."
    return TroubleError("$.evidence", f"Nothing was computed: {error}.", mend)


def _read(carried: Carried, asked: AdviceAsked) -> tuple[Subject, Evidence]:
    """Return the system and the evidence; raise ``TroubleError``."""
    subject = carried.subject(asked.system, "$.system")
    told = asked.evidence
    given = Given(
        (*told.before, GivenRound(told.answers, told.measured)),
        tuple(told.layout.items()),
        tuple(told.circumstances.items()),
        told.set_ups,
        told.made_safe,
    )
    try:
        return subject, evidence_of(subject, given)
    except UnknownNameError as error:
        reason = f"There is no {error.kind} `{error.name[:80]}`."
        raise TroubleError("$.evidence", reason, error.hint or AGAIN) from None
    except UnfitEvidenceError as error:
        raise TroubleError("$.evidence", error.reason, error.mend or AGAIN) from None
    except UnfitReadingError as error:
        raise TroubleError("$.evidence.measured", str(error), AGAIN) from None
