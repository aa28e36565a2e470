"""What a question is worth on the phone: how much better the trip can be prepared.

Before anybody drives one can mend by phone, load, arrange ahead, and send the right person.
Each of these is a preparation: it serves some causes, saves minutes where one of them is at
fault, and costs minutes. A question is worth what it adds to the sum of all that is worth doing,
and what it saves whoever drives, who would else have to ask or look for it there.

It is a quick look as ``advice.screen``: causes as independent, with their exact chances, one of
them at fault. It orders questions; no figure shown to anybody is made here.
"""

from collections.abc import Iterable
from functools import cached_property

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.advice.candidates import Candidate
from faultnet.advice.load import FirstVisit, Load
from faultnet.advice.outfit import Outfitting
from faultnet.advice.situation import Situation, situate
from faultnet.advice.subject import Subject
from faultnet.desk.money import trip_minutes
from faultnet.model.evidence import Evidence

Array = npt.NDArray[np.float64]

ARRANGING = 15.0
"""Minutes that arranging something in vain costs; judgement."""

CALLER = "caller"


class Preparation(msgspec.Struct, frozen=True):
    """Something done before the trip: whom it serves (causes by index), saves and costs."""

    causes: tuple[int, ...]
    saves: float
    costs: float


class Asking(msgspec.Struct, frozen=True):
    """A check, or one of its questions, with what it saves and takes, in minutes.

    ``ahead`` is what it saves by what can be done before the trip, ``there`` what it saves
    at the site, where it could be asked for as well.
    """

    candidate: Candidate
    ahead: float
    there: float
    talk: float

    def gains(self, *, ahead_only: bool = False) -> bool:
        """Whether it gains more than a minute for each minute of talk."""
        return self.ahead + (0.0 if ahead_only else self.there) > self.talk

    @property
    def rate(self) -> float:
        """What a minute of talk gains."""
        return (self.ahead + self.there) / max(self.talk, 1e-9)


class Worth(msgspec.Struct, frozen=True, dict=True):
    """What questions are worth for evidence, with a truck and what can be mended by phone.

    Raises ``ImpossibleEvidenceError`` and ``TooLargeError``.
    """

    subject: Subject
    evidence: Evidence
    on_truck: Load
    by_phone: frozenset[str]

    @cached_property
    def situation(self) -> Situation:
        """The evidence as a caller's situation."""
        return situate(self.subject, self.evidence, CALLER)

    def askings(self, candidates: Iterable[tuple[Candidate, float]]) -> list[Asking]:
        """Return checks or questions, given with the minutes they take, with their worth."""
        asked = list(candidates)
        there = self._there([each for each, _ in asked])
        return [
            Asking(each, self._ahead(each), saved, talk)
            for (each, talk), saved in zip(asked, there, strict=True)
        ]

    @cached_property
    def preparations(self) -> tuple[Preparation, ...]:
        """Everything that can be done before the trip."""
        return (*self._mending, *self._loading, *self._arranging, *self._people)

    def _there(self, candidates: list[Candidate]) -> list[float]:
        """What each saves of the technician's repairs by rank, with no look there."""
        check = next(iter(self.subject.knowledge.checks.values()))
        nothing = Candidate(check, (), ())
        asked = [nothing, *candidates]
        before, *after = self._technician.screen.values(asked, [0.0] * len(asked))
        return [max(0.0, before - each) for each in after]

    @cached_property
    def _technician(self) -> Situation:
        return msgspec.structs.replace(self.situation, who="technician")

    def _ahead(self, candidate: Candidate) -> float:
        masses = self.situation.screen.likelihoods(candidate) * self.situation.chances
        return max(0.0, self._value(masses) - self._value(masses.sum(axis=0, keepdims=True)))

    def _value(self, masses: Array) -> float:
        """What the preparations that pay are worth, over rows of masses by cause."""
        total = max(float(masses.sum()), 1e-300)
        serves, saves, costs = self._table
        gains = masses @ serves * saves - masses.sum(axis=1, keepdims=True) * costs
        return float(np.maximum(gains, 0.0).sum()) / total

    @cached_property
    def _table(self) -> tuple[Array, Array, Array]:
        """Preparations by columns: the causes each serves, what it saves, what it costs."""
        serves = np.zeros((len(self.subject.network.causes), len(self.preparations)))
        for column, each in enumerate(self.preparations):
            serves[list(each.causes), column] = 1.0
        saves = np.array([each.saves for each in self.preparations])
        return serves, saves, np.array([each.costs for each in self.preparations])

    @cached_property
    def _visit(self) -> FirstVisit:
        people = tuple(self.subject.knowledge.rates.calls)
        return FirstVisit(self._outfit, ("technician", *people))

    @cached_property
    def _outfit(self) -> Outfitting:
        return Outfitting(self.subject, self.evidence)

    @property
    def _mending(self) -> list[Preparation]:
        prices = self.situation.prices
        saves = trip_minutes(self.subject.knowledge.rates)
        return [
            Preparation(self._causes([r.id]), saves, prices.repair(r, frozenset()).minutes)
            for r in self._outfit.repairs
            if r.id in self.by_phone
        ]

    @property
    def _loading(self) -> list[Preparation]:
        return [
            Preparation(self._causes(repairs), self._visit.second_trip, self._visit.trouble(items))
            for items, repairs in self._visit.missing(self.on_truck).items()
        ]

    @property
    def _arranging(self) -> list[Preparation]:
        needing: dict[str, list[str]] = {}
        for repair in self._outfit.repairs:
            for name in self._outfit.arranged(repair):
                needing.setdefault(name, []).append(repair.id)
        return [
            Preparation(self._causes(repairs), self._visit.second_trip, ARRANGING)
            for repairs in needing.values()
        ]

    @property
    def _people(self) -> list[Preparation]:
        calls = self.subject.knowledge.rates.calls
        return [
            Preparation(
                self._causes([r.id for r in self._outfit.repairs if r.work.who == who]),
                self._visit.second_trip,
                call.minutes.value,
            )
            for who, call in calls.items()
        ]

    def _causes(self, repairs: Iterable[str]) -> tuple[int, ...]:
        return tuple(c for r in repairs for c in self.subject.mended_by[r])
