"""How often each cause was seen, by month or by region, and how often the files had it."""

import itertools
from collections import Counter
from collections.abc import Callable, Mapping
from datetime import datetime

import msgspec

from faultnet.learning.closed import ClosedCase
from faultnet.learning.source import Part, Source
from faultnet.model.knowledge import Knowledge
from faultnet.network.build import build_network
from faultnet.network.network import Network, cause_probability, cause_roots
from faultnet.sharing.sharing import Sharing
from faultnet.sharing.sums import added_up

Slot = Callable[[ClosedCase], str]
"""Says where a case is counted: its month, its region; empty for nowhere. Can be pickled."""
Weigh = Callable[[ClosedCase], Mapping[str, float]]
"""Says of a case which causes were there, each with a weight up to 1; it can be pickled."""

NOT_SEEN = "nobody saw what it was"
NO_SYSTEM = "a system that is not in the files"
NOT_IN_FILES = "a cause that its system does not have in the files"
NAMED = 8
"""Cases that are named for each cause and slot."""


class Seen(msgspec.Struct, frozen=True):
    """Sums by cause and slot over the cases that say what it was.

    ``seen`` adds the weights, ``by_layout`` what the files expect of the installations alone,
    ``by_all`` what they expect once the circumstances that were told are known as well.
    ``known`` counts the cases that tell of a circumstance, ``held`` those in which it held.
    ``named`` are some of the cases.
    """

    cases: Counter[str] = msgspec.field(default_factory=Counter)
    seen: dict[tuple[str, str], float] = {}
    by_layout: dict[tuple[str, str], float] = {}
    by_all: dict[tuple[str, str], float] = {}
    known: Counter[tuple[str, str]] = msgspec.field(default_factory=Counter)
    held: Counter[tuple[str, str]] = msgspec.field(default_factory=Counter)
    named: dict[tuple[str, str], tuple[str, ...]] = {}
    left_out: Counter[str] = msgspec.field(default_factory=Counter)

    def add(self, other: "Seen") -> "Seen":
        """Return both together; sums keep the order in which parts are added."""
        return Seen(
            self.cases + other.cases,
            _sums(self.seen, other.seen),
            _sums(self.by_layout, other.by_layout),
            _sums(self.by_all, other.by_all),
            self.known + other.known,
            self.held + other.held,
            {
                key: (*self.named.get(key, ()), *other.named.get(key, ()))[:NAMED]
                for key in (*self.named, *other.named)
            },
            self.left_out + other.left_out,
        )


def confirmed(case: ClosedCase) -> dict[str, float]:
    """Return the causes that were seen, each with the weight 1."""
    return {each.cause: 1.0 for each in case.confirmed if each.cause}


def month_of(case: ClosedCase) -> str:
    """Return the month in which a case was opened (``2026-01``); empty without a date."""
    try:
        at = datetime.fromisoformat(case.opened)
    except ValueError:
        return ""
    return f"{at.year:04d}-{at.month:02d}"


def region_of(case: ClosedCase) -> str:
    """Return the region of a case; empty where none is noted."""
    return case.region


class Counting(msgspec.Struct, frozen=True):
    """Counts the cases of a part by a slot; ``networks`` are those of the systems, by id.

    A case without a slot is left out for the reason ``nowhere``.
    """

    networks: dict[str, Network]
    slot: Slot
    nowhere: str
    weigh: Weigh = confirmed

    def __call__(self, part: Part) -> Seen:
        """Return the sums of a part."""
        expecting = {name: Expecting(network) for name, network in self.networks.items()}
        sums = Seen(seen={}, by_layout={}, by_all={}, named={})
        for case in part.read().cases:
            slot, weights = self.slot(case), self.weigh(case)
            if reason := self._unfit(case, slot, weights):
                sums.left_out[reason] += 1
            else:
                _count(sums, expecting[case.system], case, slot, weights)
        return sums

    def _unfit(self, case: ClosedCase, slot: str, weights: Mapping[str, float]) -> str:
        if case.system not in self.networks:
            return NO_SYSTEM
        if not slot:
            return self.nowhere
        if not weights:
            return NOT_SEEN
        known = {cause.id for cause in self.networks[case.system].causes}
        return "" if known & weights.keys() else NOT_IN_FILES


def counting(knowledge: Knowledge, slot: Slot, nowhere: str, weigh: Weigh = confirmed) -> Counting:
    """Return what counts the cases of all systems by a slot."""
    systems = knowledge.systems.items()
    networks = {name: build_network(knowledge, each) for name, each in systems}
    bare = {
        name: msgspec.structs.replace(network, findings=()) for name, network in networks.items()
    }
    return Counting(bare, slot, nowhere, weigh)


def count(counts: Counting, source: Source, sharing: Sharing) -> Seen:
    """Return the sums over all parts, added in their order."""
    parts = source.parts()
    return added_up(sharing, counts, parts, Seen.add) if parts else Seen()


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
    sums: Seen, expecting: Expecting, case: ClosedCase, slot: str, weights: Mapping[str, float]
) -> None:
    held = {name: "yes" if it else "no" for name, it in case.evidence.circumstances.items()}
    layout = dict(case.evidence.layout)
    sums.cases[slot] += 1
    sums.known.update((name, slot) for name in held)
    sums.held.update((name, slot) for name, it in held.items() if it == "yes")
    by_layout, by_all = expecting.all(layout), expecting.all({**layout, **held})
    for cause, alone, whole in zip(expecting.causes, by_layout, by_all, strict=True):
        key = cause.id, slot
        sums.by_layout[key] = sums.by_layout.get(key, 0.0) + alone
        sums.by_all[key] = sums.by_all.get(key, 0.0) + whole
    for name, weight in weights.items():
        key = name, slot
        sums.seen[key] = sums.seen.get(key, 0.0) + weight
        if len(sums.named.get(key, ())) < NAMED:
            sums.named[key] = (*sums.named.get(key, ()), case.id)


def _sums(
    one: Mapping[tuple[str, str], float], other: Mapping[tuple[str, str], float]
) -> dict[tuple[str, str], float]:
    return {**one, **{key: one.get(key, 0.0) + value for key, value in other.items()}}
