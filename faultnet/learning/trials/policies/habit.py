"""What the simpler policies share: how likely each repair mends something, and what it costs."""

from functools import cached_property

import msgspec

from faultnet.advice.candidates import Candidate, candidates
from faultnet.advice.grounds import grounds
from faultnet.advice.load import Load
from faultnet.advice.ranking import Beliefs, believe
from faultnet.advice.site import Prices
from faultnet.learning.trials.policy import HAND_OVER, At, Chosen

BY_PHONE = 0.1
"""Chance that a caller's repair mends from which it is asked for on the phone (judgement)."""


class Habit(msgspec.Struct, frozen=True, dict=True):
    """What somebody who has no planner looks at, where a call stands."""

    at: At

    @cached_property
    def beliefs(self) -> Beliefs:
        """What the evidence says; raises ``ImpossibleEvidenceError`` and ``TooLargeError``."""
        on = grounds(self.at.subject, self.at.evidence)
        on.refuse_beyond(self.at.cells)
        return believe(self.at.subject, on.query)

    @cached_property
    def chances(self) -> dict[str, float]:
        """How likely each repair not yet done mends a cause, by its likeliest."""
        return {repair: max(causes) for repair, causes in self._mended.items()}

    @cached_property
    def sums(self) -> dict[str, float]:
        """How likely each mends any cause; exact where one fault is at work."""
        return {repair: min(1.0, sum(causes)) for repair, causes in self._mended.items()}

    @cached_property
    def _mended(self) -> dict[str, list[float]]:
        """The chances of the causes that each repair mends."""
        causes = self.at.subject.network.causes
        repairs = self.at.subject.knowledge.repairs
        return {
            repair: [self.beliefs.causes[causes[cause].id] for cause in mended]
            for repair, mended in self.at.subject.mended_by.items()
            if repair not in (*self.at.repaired, *self.at.checked)
            and (self.at.who != "caller" or repairs[repair].work.who == "caller")
        }

    @cached_property
    def prices(self) -> Prices:
        """Prices of work."""
        return Prices(self.at.subject.knowledge)

    @cached_property
    def state(self) -> frozenset[str]:
        """The set-ups that are made."""
        return frozenset(self.at.evidence.set_ups)

    def minutes(self, repair: str) -> float:
        """What a repair costs from here."""
        return self.prices.repair(self.at.subject.knowledge.repairs[repair], self.state).minutes

    def price(self, candidate: Candidate) -> float:
        """What a check costs from here."""
        return self.prices.work(candidate.check.work, self.state).minutes

    @cached_property
    def open(self) -> list[Candidate]:
        """The checks that can be done here and were not."""
        found = candidates(self.at.subject, self.at.evidence, self.at.who, self.likely)
        return [c for c in found if c.check.id not in self.at.checked]

    def likely(self, layout: str, values: tuple[str, ...]) -> float:
        """The chance that a layout has one of some values."""
        index = self.at.subject.roots[layout]
        states = self.at.subject.network.roots[index].states
        chances = zip(states, self.beliefs.roots[index], strict=True)
        return sum(chance for state, chance in chances if state in values)

    def most_probable(self) -> Chosen:
        """The repair that likeliest mends; the specialist where none is left that may."""
        best = max(self.chances, key=lambda r: (self.chances[r], r), default="")
        return Chosen("repair", best) if best and self.chances[best] > 0.0 else HAND_OVER

    def best_per_minute(self) -> Chosen:
        """The repair that likeliest mends for each of its minutes."""
        best = max(self.chances, key=lambda r: (self._worth(r), r), default="")
        return Chosen("repair", best) if best and self.chances[best] > 0.0 else HAND_OVER

    def _worth(self, repair: str) -> float:
        return self.sums[repair] / max(self.minutes(repair), 1e-9)

    def by_phone(self) -> Chosen | None:
        """A caller's repair where it is likely enough; none where somebody drives."""
        best = self.most_probable()
        ready = best.kind == "repair" and self.chances[best.id] >= BY_PHONE
        return best if ready else None


class Plain(msgspec.Struct, frozen=True):
    """A policy that loads nothing besides what is usually on the truck."""

    name: str

    def load(self, _at: At, /) -> Load:
        """Return nothing."""
        return frozenset()
