"""The order in which set-ups are undone."""

from faultnet.model.knowledge import Knowledge


def undo_order(knowledge: Knowledge, made: tuple[str, ...]) -> tuple[str, ...]:
    """Return set-ups in an order in which nothing is undone that another still needs."""
    left = list(made)
    order: list[str] = []
    while left:
        needed = {
            need
            for each in left
            if each in knowledge.set_ups
            for need in knowledge.set_ups[each].requires
        }
        free = [each for each in reversed(left) if each not in needed] or [left[-1]]
        order.append(free[0])
        left.remove(free[0])
    return tuple(order)
