"""What advice consists of: priced steps."""

from typing import TYPE_CHECKING

import msgspec

from faultnet.advice.conflict import Said
from faultnet.advice.dangers import DangerMet
from faultnet.advice.site import Transition

if TYPE_CHECKING:
    from faultnet.planning.plan import Plan


class Outcome(msgspec.Struct, frozen=True):
    """A joint answer of a check with its probability."""

    answers: dict[str, str]
    probability: float


class Step(msgspec.Struct, frozen=True):
    """A priced step, all in minutes.

    ``price`` is what it costs by itself, set-ups included; ``expected_total`` adds
    what is expected to follow.
    """

    id: str
    kind: str
    title: str
    minutes: float
    waiting: float
    price: float
    expected_total: float
    who: str
    setups: tuple[Transition, ...] = ()
    outcomes: tuple[Outcome, ...] = ()
    cautions: tuple[str, ...] = ()
    do: tuple[str, ...] = ()
    reason: str = ""


class Advice(msgspec.Struct, frozen=True):
    """Priced steps, best first, with the floor: the cost if the causes were known.

    ``considered`` checks could be done, ``examined`` of them were valued. Unless
    ``exact``, plans after an answer were valued with unknown roots averaged out. With a
    ``plan`` the best step was found looking further ahead than one step. With
    ``rough_answers`` the chances of answers are averages as well. ``region`` is the one whose
    numbers are in use, if any.
    """

    system: str
    unit: str
    dangers: tuple[DangerMet, ...]
    steps: tuple[Step, ...]
    floor: float
    considered: int = 0
    examined: int = 0
    exact: bool = False
    conflict: tuple[Said, ...] = ()
    plan: "Plan | None" = None
    rough_answers: bool = False
    region: str = ""

    @property
    def planner(self) -> str:
        """How far ahead was looked: ``one-step``, ``deeper`` or ``exact``: to the end."""
        return self.plan.planner if self.plan else "one-step"

    @property
    def gap(self) -> float:
        """The most that any better plan could save on the best step."""
        lower = self.floor
        if self.plan is not None and self.plan.planner == "exact":
            lower = self.plan.lower
        return max(0.0, self.steps[0].expected_total - lower) if self.steps else 0.0
