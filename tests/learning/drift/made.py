"""Imagined closed cases of the small knowledge of the tests, month by month; all invented."""

import math

import numpy as np

from faultnet.learning.closed import ClosedCase, Confirmation
from faultnet.model.evidence import Evidence


def case(number, year, month, *causes, **circumstances):
    day = f"{year}-{month:02d}-{number % 28 + 1:02d}T08:00:00+00:00"
    held = {name.replace("_", "-"): value for name, value in circumstances.items()}
    return ClosedCase(
        f"c{number}",
        "jet-pump",
        day,
        day,
        "mended",
        Evidence(layout={"source-level": "below-pump"}, circumstances=held),
        tuple(Confirmation(cause) for cause in causes),
    )


def cases(seed, rate, years=4, monthly=30):
    """Cases of two causes; ``rate(year, month)`` is how likely the first one is, 0 to 1."""
    rng = np.random.default_rng(seed)
    found = []
    for year in range(years):
        for month in range(1, 13):
            for _ in range(monthly):
                first = rng.random() < rate(year, month)
                cause = "foot-valve-leaks" if first else "prime-lost"
                found.append(case(len(found), 2020 + year, month, cause))
    return tuple(found)


def wave(month, peak, height):
    return math.exp(height * math.cos(2 * math.pi * (month - peak) / 12))
