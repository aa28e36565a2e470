"""What a plan comes to: the chance of each step, and how long it may take."""

from collections.abc import Iterator

from faultnet.planning.plan import Move

LEAST = 1e-6
"""Ways through a plan that are less likely are not followed."""

Way = tuple[tuple[str, ...], float, float]
"""The steps of a way through a plan, its probability, and its minutes."""


def ways(move: Move) -> Iterator[Way]:
    """Yield the ways through a plan, all but the least likely."""
    yield from _ways(move, (), 1.0, 0.0)


def _ways(move: Move, before: tuple[str, ...], chance: float, minutes: float) -> Iterator[Way]:
    steps, minutes = (*before, move.step.id), minutes + move.step.price
    for branch in move.branches:
        then = chance * branch.probability
        if then < LEAST:
            continue
        if branch.then is None:
            yield steps, then, minutes
        else:
            yield from _ways(branch.then, steps, then, minutes)


def reached(move: Move) -> dict[str, float]:
    """Return the chance that a plan comes to each of its steps."""
    found: dict[str, float] = {}
    for steps, chance, _ in ways(move):
        for step in set(steps):
            found[step] = found.get(step, 0.0) + chance
    return found
