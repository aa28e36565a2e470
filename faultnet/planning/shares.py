"""What a fault adds: to the weight of a world, and to the chance of an answer."""

from math import inf

import numpy as np

from faultnet.planning.worlds import Floats, Worlds

SILENT = np.array([0.0, 1.0])
"""How an answer is shared out where a fault has no say in it."""


def added_odds(worlds: Worlds, fault: str) -> float:
    """Return the least factor by which a fault being there too changes a world's weight."""
    least = inf
    for world, n in worlds.place.items():
        if fault not in world and worlds.prior[n] > 0.0:
            both = worlds.place.get(world | {fault})
            least = min(least, 0.0 if both is None else worlds.prior[both] / worlds.prior[n])
    return 0.0 if least == inf else float(least)


def shares(worlds: Worlds, says: Floats, fault: str) -> Floats:
    """Return, by answer (none first), factors (g, s): says with the fault >= g + s * says.

    The two are says of a world with and without the fault; g is the share in which the
    answer was due to the fault. Equality holds where causes act independently.
    """
    pairs = [
        (worlds.place[world | {fault}], n)
        for world, n in worlds.place.items()
        if fault not in world and world | {fault} in worlds.place
    ]
    mix = np.tile(SILENT, (len(says) + 1, 1))
    if pairs:
        both, without = np.array(pairs).T
        for answer, row in enumerate(says, 1):
            mix[answer] = _line_below(row[without], row[both])
    return mix


def _line_below(x: Floats, y: Floats) -> tuple[float, float]:
    """Return a line g + s * x, with g and s not negative, nowhere above y."""
    low, high = int(np.argmin(x)), int(np.argmax(x))
    if (x == y).all():
        return 0.0, 1.0
    if x[high] - x[low] > 1e-9:
        slope = float((y[high] - y[low]) / (x[high] - x[low]))
        start = float(y[low] - slope * x[low])
        start = 0.0 if abs(start) < 1e-12 else start
        slope = 0.0 if abs(slope) < 1e-12 else slope
        if start >= 0.0 and slope >= 0.0 and (start + slope * x <= y + 1e-12).all():
            return start, slope
    positive = x > 0.0
    return 0.0, float((y[positive] / x[positive]).min()) if positive.any() else 1.0
