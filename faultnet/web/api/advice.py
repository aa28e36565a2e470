"""The call for advice: what was said in, ranked causes and priced steps out; nothing is kept."""

from typing import Annotated, Literal

import msgspec

from faultnet.advice.dangers import dangers_met
from faultnet.advice.given import Given, GivenRound, Number, UnfitEvidenceError, evidence_of
from faultnet.advice.grounds import grounds
from faultnet.advice.possibilities import UnfitReadingError
from faultnet.advice.ranking import rank
from faultnet.advice.steps import next_steps
from faultnet.advice.subject import Subject, UnknownNameError
from faultnet.cases.events import Speaker
from faultnet.inference.engine import TooLargeError
from faultnet.model.evidence import Answer, Evidence
from faultnet.shapes.ranking import RankShape, rank_shape
from faultnet.shapes.steps import NextShape, next_shape
from faultnet.shapes.warnings import dangers_shape
from faultnet.web.api.call import JSON, Call, given, place_of
from faultnet.web.api.problem import PREFIX, RefusedError
from faultnet.web.office import Office

MOST_ROUNDS = 8
"""Rounds before the open one; what there is to work out grows many times with each."""

MOST_WORK = 2**22
"""Cells that a ranking may pass through: some seconds of one thread."""

AGAIN = "Look again, or leave it out."

Readings = dict[str, dict[str, str | float]]
"""Reading to part to a number: a text with its unit, or a number in the reading's own unit."""


class AnswerAsked(msgspec.Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """An answer about a finding; without ``by`` it is the word of the whole request's ``by``."""

    finding: str
    answer: str
    by: Speaker | None = None


class RoundAsked(msgspec.Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """What was said in a round, and the repairs that ended it."""

    mended: Annotated[tuple[str, ...], msgspec.Meta(min_length=1)]
    answers: tuple[AnswerAsked, ...] = ()
    readings: Readings = {}


class AdviceAsked(msgspec.Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """All that is known of one trouble.

    ``answers`` and ``readings`` are those since the last repair, ``earlier`` the rounds before
    it. A part of a reading is a text with its unit, or a number in the reading's own unit.
    ``by`` is whose word it is, ``who`` is there to do the work. What is not said is unknown.
    """

    system: str
    answers: tuple[AnswerAsked, ...] = ()
    readings: Readings = {}
    layout: dict[str, str] = {}
    circumstances: dict[str, bool] = {}
    by: Speaker = "technician"
    who: Literal["caller", "technician", "qualified"] = "technician"
    made_safe: tuple[str, ...] = ()
    set_ups: tuple[str, ...] = ()
    earlier: Annotated[tuple[RoundAsked, ...], msgspec.Meta(max_length=MOST_ROUNDS)] = ()


class Advised(msgspec.Struct, frozen=True):
    """The ranked causes and the priced next steps."""

    rank: RankShape
    next: NextShape


def advise(office: Office, asked: AdviceAsked) -> Advised:
    """Rank the causes and price the next steps.

    Nothing is kept. Dangers stand first and withhold every step but making safe. Answers
    that cannot all be true are no refusal: `conflict` names them, and nothing is ranked.
    An answer about a circumstance may stand among the answers.
    """
    try:
        subject = office.subject(asked.system)
        return _advised(subject, evidence_of(subject, _given(asked)), asked.who)
    except UnknownNameError as error:
        raise _unknown(asked, error) from None
    except UnfitEvidenceError as error:
        place = place_of(given(asked), error.about.split("."))
        raise RefusedError("unfit-evidence", place, error.reason, error.mend or AGAIN) from None
    except UnfitReadingError as error:
        raise RefusedError("unfit-reading", "$.readings", str(error), AGAIN) from None


def _advised(subject: Subject, evidence: Evidence, who: str) -> Advised:
    try:
        grounds(subject, evidence).refuse_beyond(MOST_WORK)
        return Advised(
            rank_shape(rank(subject, evidence), evidence),
            next_shape(next_steps(subject, evidence, who)),
        )
    except TooLargeError as error:
        raise RefusedError(
            "too-large",
            "$",
            f"Nothing was computed: {error}.",
            f"Leave out one or more of: {', '.join(error.leave_out)}.",
            cells=error.cells,
            limit=error.limit,
            leave_out=error.leave_out,
            dangers=dangers_shape(dangers_met(subject, evidence)),
        ) from None


def _unknown(asked: AdviceAsked, error: UnknownNameError) -> RefusedError:
    where = "" if error.kind == "system" else f"/{asked.system}"
    return RefusedError(
        "unknown-name",
        place_of(given(asked), [error.name]),
        f"There is no {error.kind} `{error.name[:80]}`.",
        error.hint or f"See what can be said: {PREFIX}/systems{where}",
        of=error.kind,
        name=error.name,
    )


def _given(asked: AdviceAsked) -> Given:
    """Return what was said as it is looked at."""
    earlier = (_round(asked, r.answers, r.readings, r.mended) for r in asked.earlier)
    return Given(
        (*earlier, _round(asked, asked.answers, asked.readings)),
        tuple(asked.layout.items()),
        tuple(asked.circumstances.items()),
        asked.set_ups,
        asked.made_safe,
    )


def _round(
    asked: AdviceAsked,
    answers: tuple[AnswerAsked, ...],
    readings: Readings,
    mended: tuple[str, ...] = (),
) -> GivenRound:
    return GivenRound(
        tuple(Answer(each.finding, each.answer, each.by or asked.by) for each in answers),
        tuple(
            Number(reading, part, value)
            for reading, parts in readings.items()
            for part, value in parts.items()
        ),
        mended,
    )


EXAMPLE = {
    "system": "jet-pump-cistern",
    "answers": [
        {"finding": "never-shuts-off", "answer": "yes"},
        {"finding": "air-at-taps", "answer": "yes", "by": "caller"},
    ],
    "readings": {"hold": {"start": "50psi", "end": "44psi", "minutes": 15}},
    "layout": {"check-valve": "foot"},
    "circumstances": {"after-work": True},
    "who": "technician",
    "made_safe": ["never-shuts-off"],
    "set_ups": ["hatch-open"],
}

CALLS = (
    Call(
        "POST",
        "/advice",
        "advise",
        AdviceAsked,
        advise,
        {JSON: Advised},
        ("unknown-name", "unfit-evidence", "unfit-reading", "too-large"),
        EXAMPLE,
        thinks=True,
    ),
)
