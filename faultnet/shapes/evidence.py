"""What was understood of what was said, seen and measured."""

from typing import TYPE_CHECKING

import msgspec

if TYPE_CHECKING:
    from faultnet.model.evidence import Evidence, Round


class AnswerShape(msgspec.Struct, frozen=True):
    """One answer about one finding, and whose word it is."""

    finding: str
    answer: str
    by: str


class RoundShape(msgspec.Struct, frozen=True):
    """A round: answers, readings in their own units, and the repairs that ended it."""

    answers: tuple[AnswerShape, ...]
    readings: dict[str, dict[str, float]]
    mended: tuple[str, ...]


class EvidenceShape(msgspec.Struct, frozen=True):
    """All that is known about one trouble; rounds in their order, the last one open."""

    rounds: tuple[RoundShape, ...]
    layout: dict[str, str]
    circumstances: dict[str, bool]
    made_safe: tuple[str, ...]
    set_ups: tuple[str, ...]


def evidence_shape(known: "Evidence") -> EvidenceShape:
    """Return what was understood, round by round."""
    return EvidenceShape(
        tuple(_round(each) for each in known.rounds),
        known.layout,
        known.circumstances,
        known.made_safe,
        known.set_ups,
    )


def _round(each: "Round") -> RoundShape:
    return RoundShape(
        tuple(AnswerShape(said.finding, said.answer, said.speaker) for said in each.answers),
        {taken.reading: taken.parts for taken in each.taken},
        each.repairs,
    )
