"""The tool itself: the step that `next` puts first."""

import msgspec

from faultnet.advice.load import FirstVisit, Load, usual_truck
from faultnet.advice.outfit import Outfitting
from faultnet.advice.steps import next_steps
from faultnet.inference.engine import ImpossibleEvidenceError, TooLargeError
from faultnet.learning.trials.policy import HAND_OVER, At, Chosen

LEAST = 0.02
"""Chance of a cause that a caller could mend below which nobody plans on the phone (judgement)."""


class Planned(msgspec.Struct, frozen=True):
    """The best step by the planner, looking ``positions`` ahead; one step where that is none.

    With ``loads`` the truck takes along what is worth its trouble by the call.
    """

    name: str = "one-step"
    positions: int = 0
    loads: bool = True

    def next(self, at: At) -> Chosen | None:
        """Return the step with the least expected minutes."""
        advice = next_steps(
            at.subject, at.evidence, at.who, leave_out=at.checked, positions=self.positions
        )
        if advice.conflict:
            raise ImpossibleEvidenceError
        steps = [s for s in advice.steps if s.kind != "make-safe"]
        if not steps or steps[0].kind == "specialist":
            return HAND_OVER
        return Chosen("check" if steps[0].kind == "check" else "repair", steps[0].id)

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
