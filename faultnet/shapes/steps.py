"""The priced next steps: `next`."""

from typing import TYPE_CHECKING

import msgspec

from faultnet.shapes.plan import PlanShape, plan_shape
from faultnet.shapes.warnings import DangerShape, SaidShape, conflict_shape, dangers_shape

if TYPE_CHECKING:
    from faultnet.advice.step import Advice, Step


class SetUpShape(msgspec.Struct, frozen=True):
    """A set-up to make or undo before a step (``to`` is ``on`` or ``off``), with its minutes."""

    id: str
    title: str
    to: str
    minutes: float


class OutcomeShape(msgspec.Struct, frozen=True):
    """A joint answer of a check with its probability."""

    answers: dict[str, str]
    probability: float


class StepShape(msgspec.Struct, frozen=True):
    """A priced step; ``kind`` is check, repair, make-safe or specialist.

    ``price`` is what it costs by itself, set-ups included; ``expected_total`` adds what is
    expected to follow.
    """

    id: str
    kind: str
    title: str
    minutes: float
    waiting: float
    price: float
    expected_total: float
    setups: tuple[SetUpShape, ...]
    who: str
    outcomes: tuple[OutcomeShape, ...]
    cautions: tuple[str, ...]
    do: tuple[str, ...]
    reason: str


class NextShape(msgspec.Struct, frozen=True):
    """Steps, best first, in minutes; ``floor`` is the cost if the causes were known.

    While a danger is open, making safe is the only step. ``gap`` is the most that any
    better plan could save on the best step. ``region`` is the one whose numbers are in use, if
    any.
    """

    system: str
    unit: str
    dangers: tuple[DangerShape, ...]
    steps: tuple[StepShape, ...]
    floor: float
    considered: int
    examined: int
    exact: bool
    answers_exact: bool
    planner: str
    gap: float
    plan: PlanShape | None
    conflict: tuple[SaidShape, ...]
    region: str


def next_shape(advice: "Advice", limit: int | None = None) -> NextShape:
    """Return advice, with the first steps only where there is a limit."""
    return NextShape(
        system=advice.system,
        unit=advice.unit,
        dangers=dangers_shape(advice.dangers),
        steps=tuple(_step(step) for step in advice.steps[:limit]),
        floor=advice.floor,
        considered=advice.considered,
        examined=advice.examined,
        exact=advice.exact,
        answers_exact=not advice.rough_answers,
        planner=advice.planner,
        gap=advice.gap,
        plan=plan_shape(advice.plan) if advice.plan else None,
        conflict=conflict_shape(advice.conflict),
        region=advice.region,
    )


def _step(step: "Step") -> StepShape:
    return StepShape(
        id=step.id,
        kind=step.kind,
        title=step.title,
        minutes=step.minutes,
        waiting=step.waiting,
        price=step.price,
        expected_total=step.expected_total,
        setups=tuple(SetUpShape(e.id, e.title, e.to, e.minutes) for e in step.setups),
        who=step.who,
        outcomes=tuple(OutcomeShape(e.answers, e.probability) for e in step.outcomes),
        cautions=step.cautions,
        do=step.do,
        reason=step.reason,
    )
