"""How far each number may move: `margins`."""

from typing import TYPE_CHECKING

import msgspec

from faultnet.shapes.plain import Json
from faultnet.shapes.warnings import SaidShape, conflict_shape

if TYPE_CHECKING:
    from faultnet.advice.authored import Authored
    from faultnet.review.sensitivity.case import CaseMargins
    from faultnet.review.sensitivity.cases import Asked, Worth
    from faultnet.review.sensitivity.margin import Flip, Margin
    from faultnet.review.sensitivity.steps import NextMargins, StepFlip, StepMargin


class NumberShape(msgspec.Struct, frozen=True):
    """An authored number: what it is about, its value and word, its place, what it rests on."""

    about: str
    value: float
    word: str | None
    place: str
    provenance: tuple[str, ...]


class FlipShape(msgspec.Struct, frozen=True):
    """A value at which another cause, or another step, comes first."""

    value: float
    first: str


class MarginShape(msgspec.Struct, frozen=True):
    """How far a number may move; ``slope`` is that of the first cause's probability.

    ``change`` is how likely the first cause changes if the number is as far off as its like.
    """

    number: NumberShape
    slope: float
    low: FlipShape | None
    high: FlipShape | None
    change: float
    exact: bool


class StepMarginShape(msgspec.Struct, frozen=True):
    """How far a number may move before another step is advised."""

    number: NumberShape
    low: FlipShape | None
    high: FlipShape | None
    solved: bool


class NextMarginsShape(msgspec.Struct, frozen=True):
    """The step advised, the runner-up, and the numbers looked at; ``left`` were not."""

    first: str | None
    second: str | None
    margins: tuple[StepMarginShape, ...]
    left: int


class MarginsShape(msgspec.Struct, frozen=True):
    """How far numbers may move in one case; moves up to ``reach`` on the odds were looked at.

    ``numbers`` counts those that were looked at, ``margins`` holds those asked for.
    """

    system: str
    first: str
    probability: float
    reach: float
    numbers: int
    margins: tuple[MarginShape, ...]
    words: tuple[MarginShape, ...]
    next: NextMarginsShape | None
    conflict: tuple[SaidShape, ...]


class CaseMarginShape(msgspec.Struct, frozen=True):
    """How far a number may move in one of the cases."""

    case: str
    first: str
    low: FlipShape | None
    high: FlipShape | None
    change: float


class WorthShape(msgspec.Struct, frozen=True):
    """A number worth asking about: in how many cases the first cause is expected to change."""

    number: NumberShape
    changes: float
    cases: tuple[CaseMarginShape, ...]


class AskedShape(msgspec.Struct, frozen=True):
    """The numbers most worth asking a colleague about, best first, over all cases."""

    system: str
    cases: int
    left_out: tuple[str, ...]
    worth: tuple[WorthShape, ...]
    problems: list[Json]


def number_shape(number: "Authored") -> NumberShape:
    """Return an authored number."""
    held = number.number
    return NumberShape(
        number.about, held.value, held.word or None, str(held.origin), held.provenance
    )


def margin_shape(margin: "Margin") -> MarginShape:
    """Return how far a number may move."""
    return MarginShape(
        number_shape(margin.number),
        margin.slope,
        _flip(margin.low),
        _flip(margin.high),
        margin.chance,
        margin.exact,
    )


def margins_shape(system: str, found: "CaseMargins") -> MarginsShape:
    """Return how far numbers may move in one case."""
    return MarginsShape(
        system,
        found.first,
        found.probability,
        found.reach,
        found.numbers,
        tuple(margin_shape(margin) for margin in found.margins),
        tuple(margin_shape(margin) for margin in found.words),
        None if found.next is None else next_margins_shape(found.next),
        conflict_shape(found.conflict),
    )


def next_margins_shape(found: "NextMargins") -> NextMarginsShape:
    """Return how far numbers may move before another step is advised."""
    return NextMarginsShape(
        found.first.id if found.first else None,
        found.second.id if found.second else None,
        tuple(_step_margin(margin) for margin in found.margins),
        found.left,
    )


def asked_shape(system: str, asked: "Asked", limit: int | None, problems: list[Json]) -> AskedShape:
    """Return the numbers most worth asking about, the first of them where there is a limit.

    ``problems`` are those of the files of cases.
    """
    worth = tuple(_worth(each) for each in asked.worth[:limit])
    return AskedShape(system, asked.cases, asked.left_out, worth, problems)


def _worth(each: "Worth") -> WorthShape:
    cases = tuple(
        CaseMarginShape(
            case.case,
            case.first,
            _flip(case.margin.low),
            _flip(case.margin.high),
            case.margin.chance,
        )
        for case in each.cases
    )
    return WorthShape(number_shape(each.number), each.changes, cases)


def _step_margin(margin: "StepMargin") -> StepMarginShape:
    low, high = _step_flip(margin.low), _step_flip(margin.high)
    return StepMarginShape(number_shape(margin.number), low, high, margin.solved)


def _flip(flip: "Flip | None") -> FlipShape | None:
    return None if flip is None else FlipShape(flip.value, flip.first)


def _step_flip(flip: "StepFlip | None") -> FlipShape | None:
    return None if flip is None else FlipShape(flip.value, flip.step)
