"""What a trial says: means by policy, and paired differences, each with its interval."""

from collections.abc import Callable, Sequence

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.learning.trials.outcome import Outcome
from faultnet.learning.trials.trial import Calls

RESAMPLES = 2000
"""Times that the calls are drawn again, with replacement, for an interval."""
SEED = 95
HOLDS = 0.95
ROWS = 64
"""Resamples at once."""

Array = npt.NDArray[np.float64]

FIGURES: dict[str, Callable[[Outcome], float]] = {
    "minutes": lambda o: o.minutes,
    "steps": lambda o: float(len(o.steps)),
    "trips": lambda o: float(o.trips),
    "second_trip": lambda o: float(o.trips > 1),
    "specialist": lambda o: float(o.specialist),
    "first_visit": lambda o: float(o.first_visit),
    "by_phone": lambda o: float(o.by_phone),
    "made_safe": lambda o: float(o.made_safe),
    "barred": lambda o: float(o.barred),
    "left_out": lambda o: float(o.left_out),
}
"""What is told of a call."""


class Mean(msgspec.Struct, frozen=True):
    """A mean over calls with its 95 % interval, by drawing calls again (percentiles)."""

    mean: float
    low: float
    high: float


class OfPolicy(msgspec.Struct, frozen=True):
    """The means of one policy, by figure."""

    policy: str
    means: dict[str, Mean]


class Against(msgspec.Struct, frozen=True):
    """What a policy has less another one, call by call, by figure."""

    policy: str
    against: str
    differences: dict[str, Mean]


class OfComplaint(msgspec.Struct, frozen=True):
    """The calls with one complaint: how many, and the minutes by policy."""

    complaint: str
    calls: int
    minutes: dict[str, float]


class Summary(msgspec.Struct, frozen=True):
    """All of it."""

    calls: int
    policies: tuple[OfPolicy, ...]
    against: tuple[Against, ...]
    complaints: tuple[OfComplaint, ...]


def summary(blocks: Sequence[Calls], against: Sequence[str] = ()) -> Summary:
    """Return what a trial says; at least one call. ``against`` names policies to compare with."""
    calls = [call for block in blocks for call in block]
    names = [outcome.policy for outcome in calls[0]]
    values = np.array(
        [[[of(outcome) for of in FIGURES.values()] for outcome in call] for call in calls]
    )
    pairs = [(n, a) for a in against for n in names if n != a]
    columns = [values[:, k] for k in range(len(names))]
    columns += [values[:, names.index(n)] - values[:, names.index(a)] for n, a in pairs]
    found = means(np.concatenate(columns, axis=1))
    each = [
        dict(zip(FIGURES, found[k : k + len(FIGURES)], strict=True))
        for k in range(0, len(found), len(FIGURES))
    ]
    return Summary(
        len(calls),
        tuple(OfPolicy(name, own) for name, own in zip(names, each, strict=False)),
        tuple(Against(n, a, d) for (n, a), d in zip(pairs, each[len(names) :], strict=True)),
        tuple(_complaints(calls, names)),
    )


def means(values: Array) -> list[Mean]:
    """Return the mean of each column of (call, column), with its interval."""
    rng = np.random.default_rng(SEED)
    count = len(values)
    even = np.full(count, 1.0 / count)
    drawn = []
    for first in range(0, RESAMPLES, ROWS):
        times = rng.multinomial(count, even, size=min(ROWS, RESAMPLES - first))
        drawn.append(np.einsum("rn,nk->rk", times.astype(float), values) / count)
    tails = [50.0 * (1.0 - HOLDS), 50.0 * (1.0 + HOLDS)]
    low, high = np.percentile(np.concatenate(drawn), tails, axis=0)
    mean = values.mean(axis=0)
    return [Mean(float(m), float(a), float(b)) for m, a, b in zip(mean, low, high, strict=True)]


def _complaints(calls: Calls, names: Sequence[str]) -> list[OfComplaint]:
    by: dict[str, Calls] = {}
    for call in calls:
        by.setdefault(call[0].complaint, []).append(call)
    return [
        OfComplaint(
            complaint,
            len(some),
            {name: float(np.mean([c[k].minutes for c in some])) for k, name in enumerate(names)},
        )
        for complaint, some in sorted(by.items(), key=lambda each: (-len(each[1]), each[0]))
    ]
