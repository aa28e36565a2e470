"""Gate tables: from raw states to what is seen, given the findings above.

A gate joins the leak and the findings that it follows from, then hides and
withholds. Its table has one axis per parent draw (over the parent's values), one
per unknown root that it reads, one for the raw state and one for the value.
"""

from itertools import product
from math import fsum
from typing import TypeAlias

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.inference.draws import CANNOT, Draw, State
from faultnet.network.network import Finding, Levels, Link, Network, holds

Array = npt.NDArray[np.float64]
Weights = dict[State, float]
Rows: TypeAlias = dict[tuple[int, ...], Weights]
Tried: TypeAlias = tuple[int, int]
"""A chance that a gate joins: its leak (``LEAK``) or a rule by place, and the level by place."""

LEAK = -1


class Gate(msgspec.Struct, eq=False):
    """A draw's table; ``parents`` are draw indices, ``roots`` root indices, in axis order.

    ``silent`` draws have no tracked round: nothing but their weight matters.
    """

    draw: int
    parents: list[int]
    roots: list[int]
    table: Array

    silent: bool

    @property
    def constant(self) -> float | None:
        """The weight of a silent draw's gate that reads nothing; None for any other."""
        return float(self.table.item()) if self.silent and self.table.size == 1 else None


def build_gate(
    network: Network, draws: list[Draw], index: int, known: dict[int, int], leak_silent: bool
) -> Gate:
    """Return the gate of a draw; ``leak_silent`` forbids its leak (it is to end for good)."""
    draw = draws[index]
    finding = network.findings[draw.finding]
    conditions = [link.when for link in finding.follows] + [finding.when]
    roots = sorted({r for c in conditions for r, _ in c if r not in known})
    sizes = {r: len(network.roots[r].states) for r in roots}
    rows = _rows(_Reader(finding, draw, draws, leak_silent), draws, sizes, known)
    draw.values = sorted({v for weights in rows.values() for v in weights})
    table = _table(draw, draws, sizes, rows)
    return Gate(index, draw.parents, roots, table, silent=not draw.tracked)


def gate_slope(
    network: Network, draws: list[Draw], gate: Gate, known: dict[int, int], tried: Tried
) -> Array:
    """Return how the table of a gate grows with one of its chances, which is not zero.

    The table is linear in each of them: it is one table with the chance at one less the
    other with it at zero.
    """
    draw = draws[gate.draw]
    finding = network.findings[draw.finding]
    sizes = {r: len(network.roots[r].states) for r in gate.roots}

    def table(chance: float) -> Array:
        changed = _with_chance(finding, tried, chance)
        return _table(draw, draws, sizes, _rows(_Reader(changed, draw, draws), draws, sizes, known))

    return table(1.0) - table(0.0)


def _with_chance(finding: Finding, tried: Tried, chance: float) -> Finding:
    """The finding with one chance of its leak, or of what it follows from, put to a number."""
    rule, level = tried

    def put(levels: Levels) -> Levels:
        return tuple(chance if k == level else x for k, x in enumerate(levels))

    if rule == LEAK:
        return msgspec.structs.replace(finding, leak=put(finding.leak))
    follows = tuple(
        msgspec.structs.replace(link, levels=put(link.levels)) if k == rule else link
        for k, link in enumerate(finding.follows)
    )
    return msgspec.structs.replace(finding, follows=follows)


def _rows(
    reader: "_Reader", draws: list[Draw], sizes: dict[int, int], known: dict[int, int]
) -> Rows:
    """The values that each raw state leads to, by what the parents show and root states."""
    parents = reader.draw.parents
    rows: Rows = {}
    picked = [range(len(draws[p].values)) for p in parents] + [range(n) for n in sizes.values()]
    for picks in product(*picked):
        seen = {p: draws[p].values[k] for p, k in zip(parents, picks, strict=False)}
        states = known | dict(zip(sizes, picks[len(parents) :], strict=True))
        for k, raw in enumerate(reader.draw.raw):
            rows[*picks, k] = reader.values(raw, seen, states)
    return rows


def _table(draw: Draw, draws: list[Draw], sizes: dict[int, int], rows: Rows) -> Array:
    place = {v: k for k, v in enumerate(draw.values)}
    shape = [*(len(draws[p].values) for p in draw.parents), *sizes.values()]
    table = np.zeros((*shape, len(draw.raw), len(draw.values)))
    for position, weights in rows.items():
        for value, weight in weights.items():
            table[*position, place[value]] += weight
    return table


class _Reader:
    """Works out the values of one draw from a raw state and what its parents show."""

    def __init__(
        self, finding: Finding, draw: Draw, draws: list[Draw], leak_silent: bool = False
    ) -> None:
        self.finding = finding
        self.draw = draw
        self.leak_silent = leak_silent
        self.at = {
            (draws[p].finding, r): (p, k)
            for p in draw.parents
            for k, r in enumerate(draws[p].tracked)
        }

    def values(self, raw: State, seen: dict[int, State], states: dict[int, int]) -> Weights:
        weights: Weights = {raw: 1.0}
        if holds(self.finding.when, states):
            weights = self._join(weights, self.finding.leak, self._leak_mask())
        for link in self.finding.follows:
            weights = self._follow(weights, link, seen, states)
        result: Weights = {}
        for state, weight in weights.items():
            value = self._gated(state, seen)
            result[value] = result.get(value, 0.0) + weight
        return result

    def _leak_mask(self) -> int:
        mask = sum(1 << r for r in self.draw.rounds)
        return mask | (1 << 30 if self.leak_silent else 0)

    def _follow(
        self, weights: Weights, link: Link, seen: dict[int, State], states: dict[int, int]
    ) -> Weights:
        if not holds(self.finding.when + link.when, states):
            return weights
        mask = sum(1 << r for r in self.draw.rounds if self._shown(link.source, r, seen) > 0)
        return self._join(weights, link.levels, mask) if mask else weights

    def _shown(self, finding: int, round_: int, seen: dict[int, State]) -> int:
        place = self.at.get((finding, round_))
        return 0 if place is None else seen[place[0]][place[1]]

    def _join(self, weights: Weights, levels: tuple[float, ...], mask: int) -> Weights:
        quiet = 1.0 - fsum(levels)
        silent = self.draw.forbids(mask) or bool(mask >> 30)
        result: Weights = {}
        for state, weight in weights.items():
            result[state] = result.get(state, 0.0) + weight * quiet
            for level, chance in enumerate(levels, start=1):
                if chance and not silent:
                    joined = self.draw.join(state, self.draw.element(mask, level))
                    result[joined] = result.get(joined, 0.0) + weight * chance
        return {state: weight for state, weight in result.items() if weight}

    def _gated(self, raw: State, seen: dict[int, State]) -> State:
        return tuple(
            self._seen_level(level, r, seen)
            for level, r in zip(raw, self.draw.tracked, strict=True)
        )

    def _seen_level(self, level: int, round_: int, seen: dict[int, State]) -> int:
        if any(self._shown(g, round_, seen) > 0 for g in self.finding.needs):
            return CANNOT
        if any(self._shown(g, round_, seen) > 0 for g in self.finding.hidden_by):
            return 0
        return level
