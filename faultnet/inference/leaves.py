"""Causes as the sweep takes them: weights over roots and effects on draws.

A weight that reads no unknown root is a plain number, else an array over the states of the
roots of its leaf.
"""

from itertools import product
from math import fsum
from typing import TypeAlias

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.inference.draws import Draw
from faultnet.inference.shifts import Weight, is_nothing
from faultnet.inference.timeline import Timeline
from faultnet.network.network import (
    Bring,
    Cause,
    Condition,
    Network,
    cause_absence,
    cause_probability,
    cause_weight,
    holds,
)

Array = npt.NDArray[np.float64]


LinkAt: TypeAlias = tuple[int, int]
"""A link of the network: its finding, and its place among the links of that."""


class Tie(msgspec.Struct, eq=False):
    """A link that a copy has to a draw: where it holds, and its chance of showing nothing."""

    link: LinkAt
    draw: int
    shown: Weight
    quiet: Weight


class Effect(msgspec.Struct, eq=False):
    """What a copy does to one draw.

    ``quiet`` is its chance of showing nothing; ``shows`` holds, per raw state, the raw
    states it leads to with their chances (the state itself where nothing is added).
    ``ending`` marks a draw that is to end for good: rows in which the copy is not
    mended forbid it to show anything.
    """

    tie: Tie
    draw: int
    quiet: Weight
    shows: list[list[tuple[int, Weight]]]
    ending: bool


class Copy(msgspec.Struct, eq=False):
    """One presence of a cause: since the start, or brought along by another.

    ``damp`` is the chance that none of its ``silent`` ties shows anything.
    """

    cause: int
    alive: int
    damp: Weight
    effects: list[Effect]
    silent: list[Tie]


class Brought(msgspec.Struct, eq=False):
    """A cause that may have been brought along: exclusive ways, the rest is absence.

    ``place`` is its place among what the cause brings; ``possible`` where it can be there.
    """

    place: int
    possible: Weight
    ways: list[tuple[Weight, Copy]]
    absent: Weight
    loud: bool


class Scenario(msgspec.Struct, eq=False):
    """A way for a cause to be there; ``counts`` is what each of its copies adds to the tally."""

    weight: Weight
    own: Copy
    brought: list[Brought]
    counts: bool
    counts_brought: bool

    @property
    def loud(self) -> bool:
        """Whether anything in it has effects on an axis."""
        return bool(self.own.effects) or any(b.loud for b in self.brought)


class Leaf(msgspec.Struct, eq=False):
    """A cause: its scope of unknown roots, the weight of absence, its scenarios."""

    cause: int
    roots: tuple[int, ...]
    absent: Weight
    scenarios: list[Scenario]
    draws: set[int] = set()

    @property
    def loud(self) -> bool:
        """Whether it has effects on an axis, or on the tally beyond its own count."""
        return any(scenario.loud for scenario in self.scenarios)


class Setting(msgspec.Struct, frozen=True):
    """What the leaves are compiled for.

    ``candidates`` are free findings that rows may constrain; ``ending`` draws are to
    end for good; only ``late`` causes can be mended in a row. With ``count_all`` the
    causes brought along are counted too, else only those that came of themselves.
    """

    known: dict[int, int]
    candidates: frozenset[int]
    ending: frozenset[int]
    late: frozenset[int]
    count_all: bool = False


class LeafMaker:
    """Compiles the causes of a network for one query."""

    def __init__(
        self, network: Network, draws: list[Draw], timeline: Timeline, setting: Setting
    ) -> None:
        """Index the links by cause."""
        self.network = network
        self.draws = draws
        self.timeline = timeline
        self.setting = setting
        self.links: list[list[tuple[int, tuple[float, ...], Condition, LinkAt]]] = [
            [] for _ in network.causes
        ]
        self.candidate_links: list[list[Condition]] = [[] for _ in network.causes]
        self._scopes: dict[tuple[int, ...], _Scope] = {}
        by_finding: dict[int, list[int]] = {}
        for index, draw in enumerate(draws):
            by_finding.setdefault(draw.finding, []).append(index)
        for number in sorted(by_finding.keys() | setting.candidates):
            finding = network.findings[number]
            for place, link in enumerate(finding.links):
                condition = link.when + finding.when
                if not self._possible(condition):
                    continue
                for draw_index in by_finding.get(number, ()):
                    entry = (draw_index, link.levels, condition, (number, place))
                    self.links[link.source].append(entry)
                if number in setting.candidates:
                    self.candidate_links[link.source].append(condition)

    def leaf(self, cause: int) -> Leaf:
        """Return one cause compiled."""
        roots = self._scope(cause)
        maker = self._scopes.get(roots)
        if maker is None:
            maker = self._scopes[roots] = _Scope(self.network, roots, self.setting.known)
        probability, absent = maker.chances(self.network.causes[cause])
        scenarios = [
            self._scenario(maker, cause, alive, 0, probability * weight)
            for weight, alive in self.timeline.alive(cause)
        ]
        stays = absent
        for chance, start in self.timeline.starts(cause):
            for weight, alive in self.timeline.alive(cause, start):
                scenarios.append(
                    self._scenario(maker, cause, alive, start, absent * chance * weight)
                )
            stays = stays - absent * chance
        leaf = Leaf(cause, roots, stays, scenarios)
        for scenario in scenarios:
            copies = [scenario.own, *(c for b in scenario.brought for _, c in b.ways)]
            leaf.draws |= {effect.draw for copy in copies for effect in copy.effects}
        return leaf

    def relevant(self) -> list[int]:
        """Causes that the evidence or a candidate speaks about, or that bring such a one."""
        spoken = {c for c in range(len(self.links)) if self.links[c] or self.candidate_links[c]}
        spoken |= self.setting.late
        causes = enumerate(self.network.causes)
        return [k for k, c in causes if k in spoken or any(b.cause in spoken for b in c.brings)]

    def masks(self) -> dict[int, set[int]]:
        """Alive masks by draw of every copy linked to it (before draws have states)."""
        result: dict[int, set[int]] = {i: set() for i in range(len(self.draws))}
        starts = range(self.timeline.rounds)
        for cause, links in enumerate(self.links):
            masks = {m for start in starts for _, m in self.timeline.alive(cause, start)}
            for draw, *_ in links:
                result[draw] |= masks
        return result

    def _possible(self, condition: Condition) -> bool:
        known = self.setting.known
        return all(allowed[known[r]] for r, allowed in condition if r in known)

    def _scope(self, cause: int) -> tuple[int, ...]:
        entry = self.network.causes[cause]
        copies = [cause, *(b.cause for b in entry.brings)]
        conditions = [self.network.causes[c].when for c in copies]
        for copy in copies:
            conditions += [condition for _, _, condition, _ in self.links[copy]]
            conditions += self.candidate_links[copy]
        roots = {r for r, _ in entry.factors}
        roots |= {r for condition in conditions for r, _ in condition}
        return tuple(sorted(roots - set(self.setting.known)))

    def _scenario(
        self, maker: "_Scope", cause: int, alive: int, start: int, weight: Weight
    ) -> Scenario:
        brings = () if self.network.faults == "one" else self.network.causes[cause].brings
        brought = [self._brought(maker, place, b, start) for place, b in enumerate(brings)]
        counts = start == 0
        count_all = counts and self.setting.count_all
        own = self._copy(maker, cause, alive)
        return Scenario(weight, own, [b for b in brought if b.ways], counts, count_all)

    def _brought(self, maker: "_Scope", place: int, bring: Bring, start: int) -> Brought:
        possible = maker.indicator(self.network.causes[bring.cause].when)
        probability = bring.probability * possible
        ways = [
            (probability * weight, self._copy(maker, bring.cause, alive))
            for weight, alive in self.timeline.alive(bring.cause, start)
            if not is_nothing(probability)
        ]
        loud = self.setting.count_all or any(copy.effects for _, copy in ways)
        return Brought(place, possible, ways, 1.0 - probability, loud)

    def _copy(self, maker: "_Scope", cause: int, alive: int) -> Copy:
        copy = Copy(cause, alive, maker.everywhere, [], [])
        now = alive >> (self.timeline.rounds - 1) & 1
        for index, levels, condition, link in self.links[cause]:
            draw = self.draws[index]
            shown = maker.indicator(condition)
            quiet = 1.0 - fsum(levels) * shown
            tie = Tie(link, index, shown, quiet)
            ending = bool(now) and index in self.setting.ending
            if draw.forbids(alive) or (ending and cause not in self.setting.late):
                copy.damp = copy.damp * quiet
                copy.silent.append(tie)
                continue
            shows = self._shows(draw, alive, levels, shown)
            if ending or any(t != k for k, targets in enumerate(shows) for t, _ in targets):
                copy.effects.append(Effect(tie, index, quiet, shows, ending))
        return copy

    @staticmethod
    def _shows(
        draw: Draw, alive: int, levels: tuple[float, ...], shown: Weight
    ) -> list[list[tuple[int, Weight]]]:
        place = {state: k for k, state in enumerate(draw.raw)}
        return [
            [
                (place[draw.join(state, draw.element(alive, level))], chance * shown)
                for level, chance in enumerate(levels, start=1)
                if chance
            ]
            for state in draw.raw
        ]


def chances(
    network: Network, cause: Cause, roots: tuple[int, ...], known: dict[int, int]
) -> tuple[Array, Array]:
    """P(present) and P(absent) of a cause come of itself over the states of some roots.

    ``known`` holds the states of the others. Where exactly one cause is there they are
    weights, and one.
    """
    present, absent = _Scope(network, roots, known).chances(cause)
    return np.asarray(present), np.asarray(absent)


class _Scope:
    """Weights over the joint states of a few unknown roots, last root fastest."""

    def __init__(self, network: Network, roots: tuple[int, ...], known: dict[int, int]) -> None:
        self.network = network
        self.roots = roots
        self.known = known
        self.shape = tuple(len(network.roots[r].states) for r in roots)
        picks = product(*(range(n) for n in self.shape))
        self.states = [known | dict(zip(roots, pick, strict=True)) for pick in picks]
        self.everywhere: Weight = np.ones(self.shape) if roots else 1.0
        self._indicators: dict[Condition, Weight] = {(): self.everywhere}

    def chances(self, cause: Cause) -> tuple[Weight, Weight]:
        """P(present) and P(absent) by root state; with exactly one cause, weights and one."""
        if self.network.faults == "one":
            return self._weight([cause_weight(cause, s) for s in self.states]), self.everywhere
        present = self._weight([cause_probability(cause, s) for s in self.states])
        return present, self._weight([cause_absence(cause, s) for s in self.states])

    def indicator(self, condition: Condition) -> Weight:
        """One where a condition holds, else zero."""
        weight = self._indicators.get(condition)
        if weight is None:
            weight = self._weight([float(holds(condition, s)) for s in self.states])
            self._indicators[condition] = weight
        return weight

    def _weight(self, values: list[float]) -> Weight:
        return np.array(values).reshape(self.shape) if self.roots else values[0]
