"""A plan: the step to take, and for each answer what to do then."""

from typing import TYPE_CHECKING

import msgspec

if TYPE_CHECKING:
    from faultnet.planning.plan import Move, Plan


class BranchShape(msgspec.Struct, frozen=True):
    """An answer of a step, how likely it is, and the move then; none when all is over."""

    answer: str
    probability: float
    then: "MoveShape | None"


class MoveShape(msgspec.Struct, frozen=True):
    """A step of a plan, with the minutes expected from here on."""

    id: str
    kind: str
    price: float
    expected: float
    branches: tuple[BranchShape, ...]


class PlanShape(msgspec.Struct, frozen=True):
    """What to do, whatever the answers; the tree hangs on ``first``."""

    planner: str
    expected: float
    one_step: float
    repair_only: float
    gained: float
    examined: int
    first: MoveShape


def plan_shape(made: "Plan") -> PlanShape:
    """Return a plan."""
    return PlanShape(
        planner=made.planner,
        expected=made.expected,
        one_step=made.one_step,
        repair_only=made.repair_only,
        gained=made.gained,
        examined=made.examined,
        first=_move(made.first),
    )


def _move(move: "Move") -> MoveShape:
    branches = (
        BranchShape(each.answer, each.probability, None if each.then is None else _move(each.then))
        for each in move.branches
    )
    return MoveShape(move.step.id, move.step.kind, move.step.price, move.expected, tuple(branches))
