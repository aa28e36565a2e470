"""Where a case stands: what is believed, what the site is like, what could be done."""

from functools import cached_property

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.advice.candidates import Candidate, candidates
from faultnet.advice.grounds import grounds
from faultnet.advice.ranking import Beliefs, believe
from faultnet.advice.screen import Screen
from faultnet.advice.site import Prices, State
from faultnet.advice.subject import Subject
from faultnet.advice.ties import even_minutes
from faultnet.advice.works import told_wrong
from faultnet.inference.observed import Observed
from faultnet.inference.query import Query
from faultnet.model.evidence import Evidence
from faultnet.network.average import averaged
from faultnet.network.network import Network

Array = npt.NDArray[np.float64]

EXAMINED = (7, 3)
"""Checks whose plans are valued, chosen by the quick screen; fewer where that takes too long."""
THOROUGH = 10
"""Checks valued when the advice is asked to be thorough."""
SHORTLIST = 8
"""Repairs in a plan; beyond them comes the specialist."""


class Situation(msgspec.Struct, frozen=True, dict=True):
    """The evidence of a case with its beliefs, and who is going to act.

    ``goal`` holds the findings that are to end; ``roots`` what is believed of layout and
    circumstances, by root. The ``query`` may be on a network in which they are averaged out
    already. While a danger is open no check is examined (``withheld``), and never more than
    ``most``.
    """

    subject: Subject
    evidence: Evidence
    who: str
    query: Query
    beliefs: Beliefs
    goal: tuple[int, ...]
    roots: dict[int, tuple[float, ...]]
    thorough: bool = False
    withheld: bool = False
    leave_out: frozenset[str] = frozenset()
    most: int = EXAMINED[0]

    @cached_property
    def prices(self) -> Prices:
        """Prices of work."""
        return Prices(self.subject.knowledge)

    @cached_property
    def valuing(self) -> tuple[Network, Observed]:
        """What plans are valued with: unless thorough, all roots averaged out."""
        observed = self.query.observed
        if self.thorough:
            return self.subject.network, observed
        return self._averaged, without_roots(observed)

    @cached_property
    def _averaged(self) -> Network:
        """The network with its roots averaged out under what is believed of them."""
        done = self.query.network is not self.subject.network
        return self.query.network if done else averaged(self.subject.network, self.roots)

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
        alone = np.array([cause.probability for cause in self._averaged.causes])
        return Screen(self.subject, self.chances, prices, self.specialist, alone, self.goal)

    @cached_property
    def shortlist(self) -> tuple[str, ...]:
        """The repairs that mend most of what is likely."""
        return self.screen.order(np.ones_like(self.chances), SHORTLIST, sparing=False)

    @cached_property
    def possible(self) -> list[Candidate]:
        """Checks that could be done and would tell something."""
        found = candidates(self.subject, self.evidence, self.who, self.likely)
        return [c for c in found if c.check.id not in self.leave_out]

    @cached_property
    def examined(self) -> list[Candidate]:
        """The checks that look best on the quick screen."""
        if self.withheld:
            return []
        values = self.screen.values(self.possible, [self.price(c) for c in self.possible])
        order = sorted(range(len(values)), key=lambda k: (even_minutes(values[k]), k))
        return [self.possible[k] for k in order[: self.most]]

    def price(self, candidate: Candidate) -> float:
        """Minutes of a check from the present state of the site."""
        return self.prices.work(candidate.check.work, self.state).minutes

    def likely(self, layout: str, values: tuple[str, ...]) -> float:
        """The chance that a layout has one of some values."""
        index = self.subject.roots[layout]
        states = self.subject.network.roots[index].states
        chances = zip(states, self.beliefs.roots[index], strict=True)
        return sum(chance for state, chance in chances if state in values)


def situate(
    subject: Subject,
    evidence: Evidence,
    who: str,
    *,
    thorough: bool = False,
    withheld: bool = False,
    leave_out: frozenset[str] = frozenset(),
) -> Situation:
    """Return the situation of whoever acts on evidence.

    Raises ``UnknownNameError``, ``UnfitReadingError``, ``ImpossibleEvidenceError`` and
    ``TooLargeError``.
    """
    query = grounds(subject, evidence).query
    beliefs = believe(subject, query, brought=False)
    goal = told_wrong(subject, query.observed)
    roots, most = beliefs.roots, THOROUGH if thorough else EXAMINED[0]
    return Situation(
        subject, evidence, who, query, beliefs, goal, roots, thorough, withheld, leave_out, most
    )


def without_roots(observed: Observed) -> Observed:
    """Return evidence for a network whose roots are averaged out."""
    return msgspec.structs.replace(observed, roots={})
