"""What follows a step: repairs in some order, at the end the specialist."""

from collections.abc import Iterable

import msgspec

from faultnet.advice.site import Prices, State
from faultnet.advice.subject import Subject


class Outlook(msgspec.Struct, frozen=True):
    """An order of repairs with W of its growing sets: the first, the first two ..."""

    order: tuple[str, ...]
    works: tuple[float, ...]


class Turn(msgspec.Struct, frozen=True):
    """A repair in a sequence: its price, and the chance that the trouble outlasts it."""

    repair: str
    price: float
    left: float


class Repairs(msgspec.Struct, frozen=True):
    """Repairs until one ends it, at the end the specialist, with the expected minutes."""

    cost: float
    turns: tuple[Turn, ...]


def repair_only(
    subject: Subject, prices: Prices, outlook: Outlook, state: State, left: float = 1.0
) -> Repairs:
    """Return the best prefix of an order, followed by the specialist.

    cost = sum of cost_k * (1 - W(first k-1)), proof included, then the specialist
    times what is left. ``left`` is the chance that the trouble is not over before the
    first repair. Source for the sum: Simon & Kadane 1975, Artificial Intelligence 6.
    """
    specialist = subject.system.specialist.minutes.value
    spent, best, length = 0.0, specialist * left, 0
    turns: list[Turn] = []
    for repair, works in zip(outlook.order, outlook.works, strict=True):
        price = prices.repair(subject.knowledge.repairs[repair], state)
        state = price.after
        spent += price.minutes * left
        left = min(left, 1.0 - works)
        turns.append(Turn(repair, price.minutes, left))
        if spent + specialist * left < best:
            best, length = spent + specialist * left, len(turns)
    return Repairs(best, tuple(turns[:length]))


def prefixes(order: Iterable[str]) -> list[frozenset[str]]:
    """Return the growing sets of an order, one repair up to all."""
    grown: list[frozenset[str]] = []
    for repair in order:
        grown.append((grown[-1] if grown else frozenset()) | {repair})
    return grown
