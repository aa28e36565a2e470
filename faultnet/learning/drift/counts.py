"""How often each cause was seen in each month, and how often the files would have had it."""

import itertools
from collections import Counter
from collections.abc import Callable, Mapping
from datetime import datetime

import msgspec

from faultnet.learning.closed import ClosedCase
from faultnet.learning.source import Part
from faultnet.model.knowledge import Knowledge
from faultnet.network.build import build_network
from faultnet.network.network import Network, cause_probability, cause_roots

Month = int
"""Months since the year 0: twelve times the year, and 0 for January."""
Weigh = Callable[[ClosedCase], Mapping[str, float]]
"""Says of a case which causes were there, each with a weight up to 1; it can be pickled."""

NOT_SEEN = "nobody saw what it was"
NO_DATE = "no date that can be read"
NO_SYSTEM = "a system that is not in the files"


class Monthly(msgspec.Struct, frozen=True):
    """Sums by cause and month over the cases that say what it was.

    ``seen`` adds the weights, ``by_layout`` what the files expect of the installations alone,
    ``by_all`` what they expect once the circumstances that were told are known as well.
    ``told`` counts the cases in which a circumstance held.
    """

    cases: Counter[Month] = msgspec.field(default_factory=Counter)
    seen: dict[tuple[str, Month], float] = {}
    by_layout: dict[tuple[str, Month], float] = {}
    by_all: dict[tuple[str, Month], float] = {}
    told: Counter[tuple[str, Month]] = msgspec.field(default_factory=Counter)
    left_out: Counter[str] = msgspec.field(default_factory=Counter)

    def add(self, other: "Monthly") -> "Monthly":
        """Return both together; sums keep the order in which parts are added."""
        return Monthly(
            self.cases + other.cases,
            _sums(self.seen, other.seen),
            _sums(self.by_layout, other.by_layout),
            _sums(self.by_all, other.by_all),
            self.told + other.told,
            self.left_out + other.left_out,
        )

    @property
    def months(self) -> range:
        """All months from the first to the last with a case."""
        return range(min(self.cases), max(self.cases) + 1) if self.cases else range(0)


def confirmed(case: ClosedCase) -> dict[str, float]:
    """Return the causes that were seen, each with the weight 1."""
    return {each.cause: 1.0 for each in case.confirmed if each.cause}


def month_of(when: str) -> Month | None:
    """Return the month of a time in ISO 8601, or None."""
    try:
        at = datetime.fromisoformat(when)
    except ValueError:
        return None
    return 12 * at.year + at.month - 1


class Counting(msgspec.Struct, frozen=True):
    """Counts the cases of a part; ``networks`` are those of the systems, by id."""

    networks: dict[str, Network]
    weigh: Weigh = confirmed

    def __call__(self, part: Part) -> Monthly:
        """Return the sums of a part."""
        expecting = {name: Expecting(network) for name, network in self.networks.items()}
        sums = Monthly(seen={}, by_layout={}, by_all={})
        for case in part.read().cases:
            month, weights = month_of(case.opened), self.weigh(case)
            reason = self._unfit(case, month, weights)
            if month is None or reason:
                sums.left_out[reason] += 1
            else:
                _count(sums, expecting[case.system], case, month, weights)
        return sums

    def _unfit(self, case: ClosedCase, month: Month | None, weights: Mapping[str, float]) -> str:
        if case.system not in self.networks:
            return NO_SYSTEM
        if month is None:
            return NO_DATE
        return "" if weights else NOT_SEEN


def counting(knowledge: Knowledge, weigh: Weigh = confirmed) -> Counting:
    """Return what counts the cases of all systems."""
    systems = knowledge.systems.items()
    networks = {name: build_network(knowledge, each) for name, each in systems}
    bare = {
        name: msgspec.structs.replace(network, findings=()) for name, network in networks.items()
    }
    return Counting(bare, weigh)


class Expecting:
    """How likely each cause is by the files where some roots are known, kept by what is known."""

    def __init__(self, network: Network) -> None:
        self.causes = network.causes
        self.network = network
        self.roots = [cause_roots(cause) for cause in network.causes]
        self.at = {root.id: k for k, root in enumerate(network.roots)}
        self.kept: dict[tuple[int, tuple[int, ...]], float] = {}

    def all(self, known: Mapping[str, str]) -> list[float]:
        """Return the chance of each cause; ``known`` are states by root id."""
        states = dict.fromkeys(range(len(self.network.roots)), -1)
        for name, state in known.items():
            root = self.at.get(name)
            if root is not None and state in self.network.roots[root].states:
                states[root] = self.network.roots[root].states.index(state)
        return [self._one(k, tuple(states[r] for r in roots)) for k, roots in enumerate(self.roots)]

    def _one(self, cause: int, known: tuple[int, ...]) -> float:
        if (cause, known) not in self.kept:
            self.kept[cause, known] = self._average(cause, known)
        return self.kept[cause, known]

    def _average(self, cause: int, known: tuple[int, ...]) -> float:
        priors = [
            {state: 1.0} if state >= 0 else dict(enumerate(self.network.roots[root].prior))
            for root, state in zip(self.roots[cause], known, strict=True)
        ]
        total = 0.0
        for states in itertools.product(*priors):
            weight = 1.0
            for prior, state in zip(priors, states, strict=True):
                weight *= prior[state]
            under = dict(zip(self.roots[cause], states, strict=True))
            total += weight * cause_probability(self.causes[cause], under)
        return total


def _count(
    sums: Monthly,
    expecting: Expecting,
    case: ClosedCase,
    month: Month,
    weights: Mapping[str, float],
) -> None:
    held = {name: "yes" if it else "no" for name, it in case.evidence.circumstances.items()}
    layout = dict(case.evidence.layout)
    sums.cases[month] += 1
    sums.told.update((name, month) for name, it in held.items() if it == "yes")
    by_layout, by_all = expecting.all(layout), expecting.all({**layout, **held})
    for cause, alone, whole in zip(expecting.causes, by_layout, by_all, strict=True):
        key = cause.id, month
        sums.by_layout[key] = sums.by_layout.get(key, 0.0) + alone
        sums.by_all[key] = sums.by_all.get(key, 0.0) + whole
    for name, weight in weights.items():
        sums.seen[name, month] = sums.seen.get((name, month), 0.0) + weight


def _sums(
    one: Mapping[tuple[str, Month], float], other: Mapping[tuple[str, Month], float]
) -> dict[tuple[str, Month], float]:
    return {**one, **{key: one.get(key, 0.0) + value for key, value in other.items()}}
