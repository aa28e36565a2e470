"""Repair-only plans: which repairs in which order, what they are expected to cost."""

from collections.abc import Sequence
from dataclasses import dataclass

from faultnet.advice.site import Prices, State
from faultnet.advice.subject import Subject


@dataclass(frozen=True)
class RepairPlan:
    """Repairs in order until the specialist takes over, and the expected minutes."""

    repairs: tuple[str, ...]
    cost: float


@dataclass(frozen=True)
class Outlook:
    """An order of repairs with W of its growing sets: the first, the first two ..."""

    order: tuple[str, ...]
    works: tuple[float, ...]


def best_plan(subject: Subject, prices: Prices, outlook: Outlook, state: State) -> RepairPlan:
    """Return the cheapest prefix of an order of repairs, then the specialist.

    cost = sum of cost_k * (1 - W(first k-1)), proof included, then the specialist
    times what is left.
    """
    specialist = subject.system.specialist.minutes.value
    left, spent = 1.0, 0.0
    best = RepairPlan((), specialist)
    for k, repair in enumerate(outlook.order):
        price = prices.repair(subject.knowledge.repairs[repair], state)
        state = price.after
        spent += price.minutes * left
        left = min(left, 1.0 - outlook.works[k])
        total = spent + specialist * left
        if total < best.cost:
            best = RepairPlan(outlook.order[: k + 1], total)
    return best


def prefixes(order: Sequence[str]) -> list[frozenset[str]]:
    """Return the growing sets of an order, one repair up to all."""
    return [frozenset(order[: k + 1]) for k in range(len(order))]
