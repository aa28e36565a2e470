"""The next step on a network that was read from a file: one step is looked ahead.

There is one repair for each target, and all of them together always mend the trouble.
A step costs its price and what is expected to follow: repairs alone, one after the
other by their chance over their price, each as far as the trouble has not ended. It has
ended with the repairs S when no target outside of S is at fault.
"""

import msgspec
import numpy as np

from faultnet.advice.imported import Question, contradiction, fault_chances
from faultnet.inference.engine import Beliefs
from faultnet.network.tables import Array

REPAIRS = 4
"""Repairs that are valued as the next step."""


class Look(msgspec.Struct, frozen=True):
    """A step: looking at a variable, or mending one; ``answers`` hold P(answer)."""

    id: str
    kind: str
    price: float
    expected_total: float
    answers: dict[str, float] = {}


class LookAhead(msgspec.Struct, frozen=True):
    """Steps, best first; ``floor`` is the cost if it were known what is at fault.

    ``repairs_alone`` is the cost without looking at anything.
    """

    steps: tuple[Look, ...]
    floor: float
    repairs_alone: float
    conflict: tuple[str, ...] = ()


def look_ahead(question: Question) -> LookAhead:
    """Return the steps, best first; raises ``TooLargeError``."""
    engine, evidence = question.engine, question.evidence
    if engine.probability(evidence) == 0.0:
        return LookAhead((), 0.0, 0.0, contradiction(question))
    beliefs = engine.beliefs(evidence, question.targets)
    chances = np.array(fault_chances(question, beliefs))
    prices = np.array([question.price(target) for target in question.targets])
    order = _order(chances, prices)
    alone = float(_follows(question, {}, [order])[0])
    steps = _repairs(question, order) + _looks(question)
    steps.sort(key=lambda step: (step.expected_total, step.kind != "check", step.id))
    return LookAhead(tuple(steps), float(chances @ prices), alone)


def _looks(question: Question) -> list[Look]:
    """Return every look with what follows its answers."""
    asked = question.engine.what_if(question.evidence, question.targets, question.candidates)
    steps = []
    for candidate in question.candidates:
        told = asked[candidate]
        possible = {str(s): beliefs for s, (chance, beliefs) in told.items() if chance > 0.0}
        orders = [_after(question, beliefs) for beliefs in possible.values()]
        follows = _follows(question, {candidate: list(possible)}, orders)
        shares = np.array([told[state][0] for state in possible])
        price = question.price(candidate)
        answers = {str(state): chance for state, (chance, _) in told.items()}
        total = price + float(shares @ follows)
        steps.append(Look(candidate, "check", price, total, answers))
    return steps


def _repairs(question: Question, order: list[int]) -> list[Look]:
    """Return the likeliest repairs as first steps, the others following in their order."""
    firsts = order[:REPAIRS]
    orders = [[first, *(k for k in order if k != first)] for first in firsts]
    totals = _follows(question, {}, orders)
    return [
        Look(question.faults[k].id, "repair", question.price(question.faults[k].id), float(total))
        for k, total in zip(firsts, totals, strict=True)
    ]


def _after(question: Question, beliefs: Beliefs) -> list[int]:
    chances = np.array(fault_chances(question, beliefs))
    return _order(chances, np.array([question.price(target) for target in question.targets]))


def _order(chances: Array, prices: Array) -> list[int]:
    """Return targets by chance over price, best first."""
    return [int(k) for k in np.argsort(-chances / prices, kind="stable")]


def _follows(question: Question, answers: dict[str, list[str]], orders: list[list[int]]) -> Array:
    """Return the expected cost of repairs alone, by order; one answer goes with each.

    A row asks for P(every target from some place of the order on is fine).
    """
    fine = question.fine()
    count = len(question.faults)
    rows: dict[str, Array] = {}
    for k, fault in enumerate(question.faults):
        table = np.ones((len(orders), count + 1, len(fine[fault.id])))
        for number, order in enumerate(orders):
            table[number, : order.index(k) + 1] = fine[fault.id]
        rows[fault.id] = table.reshape(-1, len(fine[fault.id]))
    for name, states in answers.items():
        known = next(v.states for v in question.tables.variables if v.id == name)
        said = np.array([[float(s == state) for s in known] for state in states])
        said = np.repeat(said, count + 1, axis=0)
        rows[name] = rows[name] * said if name in rows else said
    weights = question.engine.weigh(question.evidence, rows).reshape(len(orders), count + 1)
    ended = weights[:, :count] / weights[:, count:]
    prices = np.array([[question.price(question.faults[k].id) for k in order] for order in orders])
    return np.asarray((prices * np.clip(1.0 - ended, 0.0, 1.0)).sum(axis=1))
