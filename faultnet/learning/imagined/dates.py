"""When imagined cases happen: frost in winter, heat in summer, each as often as the files say."""

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta

import numpy as np

from faultnet.learning.imagined.habits import Habits

MONTHS = {
    "after-freeze": (5.0, 4.0, 1.5, 0.2, 0.0, 0.0, 0.0, 0.0, 0.0, 0.2, 1.0, 4.0),
    "hot-season": (0.0, 0.0, 0.0, 0.1, 0.7, 3.0, 5.0, 4.0, 1.0, 0.1, 0.0, 0.0),
    "dry-season": (0.2, 0.2, 0.3, 0.5, 1.0, 2.0, 4.0, 4.0, 3.0, 1.5, 0.5, 0.2),
    "after-storm": (0.3, 0.3, 0.5, 1.0, 2.0, 3.0, 3.0, 3.0, 1.5, 1.0, 0.7, 0.3),
    "season-start": (0.1, 0.1, 1.0, 4.0, 4.0, 1.0, 0.2, 0.1, 0.1, 0.1, 0.1, 0.1),
}
"""How a circumstance falls on the months; invented."""
LEAST = 0.002
"""So likely is anything in any month."""


def opened(
    habits: Habits, priors: Mapping[str, float], held: Mapping[str, bool], rng: np.random.Generator
) -> datetime:
    """Return when a call came. ``priors`` are those of the circumstances, ``held`` what was so.

    The month hangs on what was so, in such a way that over all months a circumstance is as
    frequent as its prior.
    """
    weights = np.ones(12)
    for name, months in MONTHS.items():
        if name in held:
            chance = np.clip(12.0 * priors[name] * np.array(months) / sum(months), LEAST, 1 - LEAST)
            weights *= chance if held[name] else 1.0 - chance
    month = int(rng.choice(12, p=weights / weights.sum()))
    begins = datetime.fromisoformat(habits.begins).replace(tzinfo=UTC)
    year = begins.year + int(rng.integers(habits.years))
    hours = float(rng.uniform(7.0, 18.0))
    return datetime(year, month + 1, 1 + int(rng.integers(28)), tzinfo=UTC) + timedelta(hours=hours)


def written(moment: datetime) -> str:
    """Return a time as cases have it, in UTC."""
    return f"{moment:%Y-%m-%dT%H:%M:%S}.000Z"
