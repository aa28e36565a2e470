"""Ranking on a network that was read from a file: targets, and what is said of the rest."""

from collections.abc import Mapping, Sequence
from functools import cached_property

import msgspec
import numpy as np

from faultnet.inference.clique_tree import CliqueTree
from faultnet.inference.conflict import conflicting
from faultnet.inference.engine import TooLargeError
from faultnet.network.tables import Array, Tables


class Fault(msgspec.Struct, frozen=True):
    """A target: a variable, and those of its states that are a fault."""

    id: str
    states: tuple[str, ...]


class Question(msgspec.Struct, frozen=True, dict=True):
    """A network with what was seen and what may be at fault.

    ``candidates`` are the variables that can be looked at; ``costs`` the price of looking
    at one or of mending one, one unit where none is given.
    """

    tables: Tables
    evidence: dict[str, str]
    faults: tuple[Fault, ...]
    candidates: tuple[str, ...] = ()
    costs: Mapping[str, float] = {}

    @cached_property
    def engine(self) -> CliqueTree:
        """The engine that answers."""
        return CliqueTree(self.tables)

    @property
    def targets(self) -> list[str]:
        """The variables that may be at fault."""
        return [fault.id for fault in self.faults]

    def fine(self) -> dict[str, Array]:
        """One for the states of each target that are no fault, else zero."""
        states = {variable.id: variable.states for variable in self.tables.variables}
        return {
            fault.id: np.array([float(s not in fault.states) for s in states[fault.id]])
            for fault in self.faults
        }

    def price(self, variable: str) -> float:
        """What looking at a variable or mending it costs."""
        return self.costs.get(variable, 1.0)


class RankedFault(msgspec.Struct, frozen=True):
    """A target with its fault states and how likely it is in one of them."""

    id: str
    states: tuple[str, ...]
    probability: float


class FaultRanking(msgspec.Struct, frozen=True):
    """Targets, likeliest first; ``none`` is P(no target is at fault).

    With a conflict the evidence is impossible, and nothing is ranked.
    """

    evidence_probability: float
    faults: tuple[RankedFault, ...]
    none: float
    more_than_one: float
    conflict: tuple[str, ...] = ()


def rank_faults(question: Question) -> FaultRanking:
    """Return the ranking; raises ``TooLargeError``."""
    probability = question.engine.probability(question.evidence)
    if probability == 0.0:
        return FaultRanking(0.0, (), 0.0, 0.0, contradiction(question))
    chances = fault_chances(question, question.engine.beliefs(question.evidence, question.targets))
    ranked = [
        RankedFault(fault.id, fault.states, chance)
        for fault, chance in zip(question.faults, chances, strict=True)
    ]
    ranked.sort(key=lambda fault: (-fault.probability, fault.id))
    none, one = _none_and_one(question, probability)
    more = min(max(1.0 - none - one, 0.0), 1.0)
    return FaultRanking(probability, tuple(ranked), none, more)


def fault_chances(question: Question, beliefs: Mapping[str, Mapping[str, float]]) -> list[float]:
    """Return how likely each target is in a fault state, in their order."""
    return [sum(beliefs[fault.id][s] for s in fault.states) for fault in question.faults]


def contradiction(question: Question) -> tuple[str, ...]:
    """Return variables, as few as possible, whose answers cannot all be true."""

    def possible(names: Sequence[str]) -> bool:
        try:
            said = {name: question.evidence[name] for name in names}
            return question.engine.probability(said) > 0.0
        except TooLargeError:
            return True  # no telling: such a set is never narrowed down further

    return conflicting(list(question.evidence), possible)


def _none_and_one(question: Question, probability: float) -> tuple[float, float]:
    """Return P(no target at fault) and P(just one)."""
    fine = question.fine()
    count = len(question.faults)
    rows = {}
    for place, fault in enumerate(question.faults):
        rows[fault.id] = np.repeat(fine[fault.id][None], count + 1, axis=0)
        rows[fault.id][place] = 1.0 - fine[fault.id]
    weights = question.engine.weigh(question.evidence, rows) / probability
    return float(weights[count]), float(weights[:count].sum())
