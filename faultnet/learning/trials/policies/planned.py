"""The tool itself: the step that `next` puts first."""

import msgspec

from faultnet.advice.load import FirstVisit, Load, usual_truck
from faultnet.advice.outfit import Outfitting
from faultnet.advice.outlooks import Outlooks
from faultnet.advice.situation import situate
from faultnet.advice.step import Step
from faultnet.advice.steps import advise, next_steps
from faultnet.inference.engine import ImpossibleEvidenceError, TooLargeError
from faultnet.learning.trials.policy import HAND_OVER, At, Chosen


class Planned(msgspec.Struct, frozen=True):
    """The best step by the planner, looking ``positions`` ahead; one step where that is none.

    With ``loads`` the truck takes along what is worth its trouble by the call. Of the checks
    ``examined`` are valued, as many as ``next`` values where that is none.
    """

    name: str = "one-step"
    positions: int = 0
    loads: bool = True
    examined: int = 0

    def next(self, at: At) -> Chosen | None:
        """Return the step with the least expected minutes."""
        steps = self._steps(at)
        if not steps or steps[0].kind == "specialist":
            return HAND_OVER
        return Chosen("check" if steps[0].kind == "check" else "repair", steps[0].id)

    def _steps(self, at: At) -> tuple[Step, ...]:
        if self.examined:
            situation = situate(at.subject, at.evidence, at.who, leave_out=frozenset(at.checked))
            outlooks = Outlooks(msgspec.structs.replace(situation, most=self.examined))
            return advise(outlooks, positions=self.positions).steps
        advice = next_steps(
            at.subject, at.evidence, at.who, leave_out=at.checked, positions=self.positions
        )
        if advice.conflict:
            raise ImpossibleEvidenceError
        return advice.steps

    def load(self, at: At) -> Load:
        """Return what is worth loading by what was told."""
        usual = usual_truck(at.subject)
        if not self.loads or not at.subject.knowledge.stock:
            return frozenset()
        try:
            best = FirstVisit(Outfitting(at.subject, at.evidence)).best(usual)
        except (ImpossibleEvidenceError, TooLargeError):
            return frozenset()
        return frozenset(item for added in best.added for item in added.items)
