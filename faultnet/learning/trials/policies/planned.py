"""The tool itself: the step that `next` puts first."""

from functools import cached_property

import msgspec

from faultnet.advice.grounds import grounds
from faultnet.advice.load import FirstVisit, Load, usual_truck
from faultnet.advice.outfit import Outfitting
from faultnet.advice.outlooks import Outlooks
from faultnet.advice.recent import Recent
from faultnet.advice.situation import situate
from faultnet.advice.steps import advise, valued
from faultnet.inference.engine import ImpossibleEvidenceError, TooLargeError
from faultnet.learning.trials.policy import HAND_OVER, At, Chosen

STEPS = 5_000
"""Steps that are kept, by what was known when they were picked."""


class Planned(msgspec.Struct, frozen=True, dict=True):
    """The best step by the planner, looking at ``positions`` ahead; one step where that is none.

    With ``loads`` the truck takes along what is worth its trouble by the call. Of the checks
    ``examined`` are valued, as many as ``next`` values where that is none.
    """

    name: str = "one-step"
    positions: int = 0
    loads: bool = True
    examined: int = 0

    @cached_property
    def picked(self) -> Recent:
        """The steps that were picked last."""
        return Recent(STEPS)

    def next(self, at: At) -> Chosen | None:
        """Return the step with the least expected minutes."""
        key = (id(at.subject), msgspec.msgpack.encode((at.evidence, at.who, at.checked)))
        # What is kept holds on to the subject, so that no other one can have its id.
        chosen, _ = self.picked.once(key, lambda: (self._next(at), at.subject))
        return chosen

    def _next(self, at: At) -> Chosen:
        grounds(at.subject, at.evidence).refuse_beyond(at.cells)
        situation = situate(at.subject, at.evidence, at.who, leave_out=frozenset(at.checked))
        if self.examined:
            outlooks = Outlooks(msgspec.structs.replace(situation, most=self.examined))
        else:
            outlooks = valued(situation)
        best = advise(outlooks, positions=self.positions).steps[0]
        if best.kind == "specialist":
            return HAND_OVER
        return Chosen("check" if best.kind == "check" else "repair", best.id)

    def load(self, at: At, /) -> Load:
        """Return what is worth loading by what was told."""
        if not self.loads or not at.subject.knowledge.stock:
            return frozenset()
        try:
            best = FirstVisit(Outfitting(at.subject, at.evidence)).best(usual_truck(at.subject))
        except (ImpossibleEvidenceError, TooLargeError):
            return frozenset()
        return frozenset(item for added in best.added for item in added.items)
