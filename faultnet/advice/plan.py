"""What follows a step: repairs in some order, at the end the specialist."""

from collections.abc import Sequence

import msgspec

from faultnet.advice.site import Prices, State
from faultnet.advice.subject import Subject


class Outlook(msgspec.Struct, frozen=True):
    """An order of repairs with W of its growing sets: the first, the first two ..."""

    order: tuple[str, ...]
    works: tuple[float, ...]


def repair_only_cost(
    subject: Subject, prices: Prices, outlook: Outlook, state: State, left: float = 1.0
) -> float:
    """Return the expected minutes of the best prefix of an order, then the specialist.

    cost = sum of cost_k * (1 - W(first k-1)), proof included, then the specialist
    times what is left. ``left`` is the chance that the trouble is not over before the
    first repair. Source for the sum: Simon & Kadane 1975, Artificial Intelligence 6.
    """
    specialist = subject.system.specialist.minutes.value
    spent, best = 0.0, specialist * left
    for repair, works in zip(outlook.order, outlook.works, strict=True):
        price = prices.repair(subject.knowledge.repairs[repair], state)
        state = price.after
        spent += price.minutes * left
        left = min(left, 1.0 - works)
        best = min(best, spent + specialist * left)
    return best


def prefixes(order: Sequence[str]) -> list[frozenset[str]]:
    """Return the growing sets of an order, one repair up to all."""
    return [frozenset(order[: k + 1]) for k in range(len(order))]
