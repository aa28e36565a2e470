"""Where a case stands: what is believed, what the site is like, what could be done."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from faultnet.advice.candidates import Candidate, candidates
from faultnet.advice.ranking import Beliefs
from faultnet.advice.screen import Screen
from faultnet.advice.site import Prices, State
from faultnet.advice.subject import Subject
from faultnet.inference.query import Query
from faultnet.model.evidence import Evidence

Array = npt.NDArray[np.float64]

EXAMINED = 7
"""Checks whose plans are valued, chosen by the quick screen."""
EXAMINED_ROOTS = 1
"""Among them, checks that ask about layout or circumstances; each needs a sweep of its own."""
THOROUGH = 10
"""Checks valued when the advice is asked to be thorough."""
SHORTLIST = 12
"""Repairs in a plan; beyond them comes the specialist."""


@dataclass(frozen=True)
class Situation:
    """The evidence of a case with its beliefs, and who is going to act.

    While a danger is open no check is examined (``withheld``).
    """

    subject: Subject
    evidence: Evidence
    who: str
    query: Query
    beliefs: Beliefs
    thorough: bool
    withheld: bool = False

    @cached_property
    def prices(self) -> Prices:
        """Prices of work."""
        return Prices(self.subject.knowledge)

    @cached_property
    def state(self) -> State:
        """The set-ups that are made."""
        return frozenset(self.evidence.set_ups)

    @cached_property
    def specialist(self) -> float:
        """Minutes of the specialist, who always gets it working."""
        return self.subject.system.specialist.minutes.value

    @cached_property
    def chances(self) -> Array:
        """P(present), come of themselves, of the causes in network order."""
        return np.array([self.beliefs.causes[c.id] for c in self.subject.network.causes])

    @cached_property
    def screen(self) -> Screen:
        """The quick look at checks and repairs."""
        repairs = self.subject.knowledge.repairs
        prices = {
            repair: self.prices.repair(repairs[repair], self.state).minutes
            for repair in self.subject.mended_by
            if self.who != "caller" or repairs[repair].work.who == "caller"
        }
        return Screen(self.subject, self.chances, prices, self.specialist)

    @cached_property
    def shortlist(self) -> tuple[str, ...]:
        """The repairs that mend most of what is likely."""
        return self.screen.order(self.chances, SHORTLIST)

    @cached_property
    def possible(self) -> list[Candidate]:
        """Checks that could be done and would tell something."""
        return candidates(self.subject, self.evidence, self.who, self.likely)

    @cached_property
    def examined(self) -> list[Candidate]:
        """The checks that look best on the quick screen."""
        if self.withheld:
            return []
        values = [self.screen.value(c, self.price(c)) for c in self.possible]
        order = sorted(range(len(values)), key=lambda k: (values[k], k))
        if self.thorough:
            return [self.possible[k] for k in order[:THOROUGH]]
        chosen: list[Candidate] = []
        for k in order:
            candidate = self.possible[k]
            roots = sum(bool(c.roots) for c in chosen)
            if len(chosen) < EXAMINED and not (candidate.roots and roots == EXAMINED_ROOTS):
                chosen.append(candidate)
        return chosen

    def price(self, candidate: Candidate) -> float:
        """Minutes of a check from the present state of the site."""
        return self.prices.work(candidate.check.work, self.state).minutes

    def likely(self, layout: str, values: tuple[str, ...]) -> float:
        """The chance that a layout has one of some values."""
        index = self.subject.roots[layout]
        states = self.subject.network.roots[index].states
        chances = zip(states, self.beliefs.roots[index], strict=True)
        return sum(chance for state, chance in chances if state in values)
