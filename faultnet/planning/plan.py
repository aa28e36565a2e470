"""A whole plan: the step to take, and for each answer what to do then."""

from collections.abc import Sequence
from typing import Literal

import msgspec

from faultnet.planning.position import Position, Step

Made = Literal["one-step", "deeper", "exact"]


class Branch(msgspec.Struct, frozen=True):
    """An answer of a step, how likely it is, and the move then; none when all is over."""

    answer: str
    probability: float
    then: "Move | None" = None


class Move(msgspec.Struct, frozen=True):
    """A step, what is expected to be spent from here on, and where it leads.

    Positions that are reached in several ways share one move.
    """

    step: Step
    expected: float
    branches: tuple[Branch, ...]


class Plan(msgspec.Struct, frozen=True):
    """What to do, whatever the answers.

    ``expected`` is the cost of following it, ``lower`` what no plan can beat as far as
    has been proved; ``repair_only`` and ``one_step`` are the costs of the simpler plans.
    ``examined`` positions were looked at.
    """

    planner: Made
    expected: float
    lower: float
    repair_only: float
    one_step: float
    examined: int
    first: Move

    @property
    def gap(self) -> float:
        """The most that any other plan could save."""
        return max(0.0, self.expected - self.lower)

    @property
    def gained(self) -> float:
        """What the plan saves against looking one step ahead."""
        return max(0.0, self.one_step - self.expected)


def moved(step: Step, branches: tuple[Branch, ...]) -> Move:
    """Return a step with its branches and what it all costs."""
    follow = sum(b.probability * b.then.expected for b in branches if b.then is not None)
    return Move(step, step.price + follow, branches)


def in_order(position: Position, order: Sequence[str]) -> Move:
    """Return the move of taking steps in an order, those that cannot be taken left out."""
    steps = {step.id: step for step in position.steps()}
    at = next(n for n, name in enumerate(order) if name in steps)
    step, rest = steps[order[at]], order[at + 1 :]
    branches = tuple(
        Branch(answer, chance, None if then is None else in_order(then, rest))
        for answer, chance, then in position.after(step)
    )
    return moved(step, branches)
