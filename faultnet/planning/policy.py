"""What a rule costs when it is followed to the end, whatever the answers."""

from collections.abc import Callable, Hashable
from typing import TypeVar, cast

from faultnet.planning.position import Position, Step

P = TypeVar("P", bound=Position)


def followed(rule: Callable[[P], Step], position: P) -> float:
    """Return the expected cost of following a rule, exactly: every answer is gone after."""
    kept: dict[Hashable, float] = {}

    def cost(position: P) -> float:
        known = kept.get(position.key)
        if known is None:
            step = rule(position)
            known = step.price
            for _, chance, then in position.after(step):
                if then is not None:
                    known += chance * cost(cast("P", then))
            kept[position.key] = known
        return known

    return cost(position)
