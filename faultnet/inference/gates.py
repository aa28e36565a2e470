"""Gate tables: from raw states to what is seen, given the findings above.

A gate joins the leak and the findings that it follows from, then hides and
withholds. Its table has one axis per parent draw (over the parent's values), one
per unknown root that it reads, one for the raw state and one for the value.
"""

from functools import lru_cache
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


KEPT = 2**12
"""Tables that are kept: one who looks at many cases meets the same ones again."""
replace = msgspec.structs.replace


class Shape(msgspec.Struct, frozen=True):
    """All that the table of a gate hangs on; the same for many a query.

    ``finding`` has no links. ``parents`` holds finding, tracked rounds and values of each
    parent draw, ``sizes`` the number of states of unknown roots, ``known`` the states of others.
    """

    finding: Finding
    rounds: tuple[int, ...]
    tracked: tuple[int, ...]
    silent: frozenset[int]
    raw: tuple[State, ...]
    parents: tuple[tuple[int, tuple[int, ...], tuple[State, ...]], ...]
    sizes: tuple[tuple[int, int], ...]
    known: tuple[tuple[int, int], ...]
    leak_silent: bool


class Gate(msgspec.Struct, eq=False):
    """A draw's table; ``parents`` are draw indices, ``roots`` root indices, in axis order.

    ``silent`` draws have no tracked round: nothing but their weight matters. The table is
    shared with other queries and not written to.
    """

    draw: int
    parents: list[int]
    roots: list[int]
    table: Array
    silent: bool
    shape: Shape

    @property
    def constant(self) -> float | None:
        """The weight of a silent draw's gate that reads nothing; None for any other."""
        return float(self.table.item()) if self.silent and self.table.size == 1 else None


def build_gate(
    network: Network, draws: list[Draw], index: int, known: dict[int, int], leak_silent: bool
) -> Gate:
    """Return the gate of a draw; ``leak_silent`` forbids its leak (it is to end for good)."""
    draw = draws[index]
    shape = _shape(network, draws, draw, known, leak_silent)
    values, table = _made(shape)
    draw.values = list(values)
    roots = [root for root, _ in shape.sizes]
    return Gate(index, draw.parents, roots, table, not draw.tracked, shape)


def gate_slope(gate: Gate, tried: Tried) -> Array:
    """Return how the table of a gate grows with one of its chances, which is not zero.

    The table is linear in each of them: it is one table with the chance at one less the
    other with it at zero.
    """
    return _sloped(gate.shape, tried)


def gate_tries(gate: Gate, rule: int) -> Array:
    """Return the table of a gate where its leak or a rule is tried, and nothing elsewhere."""
    return _tried(gate.shape, rule)


def _shape(
    network: Network, draws: list[Draw], draw: Draw, known: dict[int, int], leak_silent: bool
) -> "Shape":
    finding = network.findings[draw.finding]
    reads = {r for c in (finding.when, *(k.when for k in finding.follows)) for r, _ in c}
    return Shape(
        Finding(
            finding.id,
            finding.answers,
            finding.leak,
            follows=finding.follows,
            hidden_by=finding.hidden_by,
            needs=finding.needs,
            when=finding.when,
        ),
        draw.rounds,
        draw.tracked,
        draw.silent,
        tuple(draw.raw),
        tuple((draws[p].finding, draws[p].tracked, tuple(draws[p].values)) for p in draw.parents),
        tuple((r, len(network.roots[r].states)) for r in sorted(reads) if r not in known),
        tuple((r, known[r]) for r in sorted(reads) if r in known),
        leak_silent,
    )


@lru_cache(KEPT)
def _made(shape: Shape) -> tuple[tuple[State, ...], Array]:
    """The values that a gate can show, and its table."""
    rows = _rows(_Reader(shape))
    values = tuple(sorted({v for weights in rows.values() for v in weights}))
    return values, _table(shape, values, rows)


@lru_cache(KEPT)
def _sloped(shape: Shape, tried: Tried) -> Array:
    values = _made(shape)[0]

    def table(chance: float) -> Array:
        changed = _with_chance(shape.finding, tried, chance)
        return _table(shape, values, _rows(_Reader(replace(shape, finding=changed))))

    return table(1.0) - table(0.0)


@lru_cache(KEPT)
def _tried(shape: Shape, rule: int) -> Array:
    return _table(shape, _made(shape)[0], _rows(_Reader(shape, rule)))


def _with_chance(finding: Finding, tried: Tried, chance: float) -> Finding:
    """The finding with one chance of its leak, or of what it follows from, put to a number."""
    rule, level = tried

    def put(levels: Levels) -> Levels:
        return tuple(chance if k == level else x for k, x in enumerate(levels))

    if rule == LEAK:
        return replace(finding, leak=put(finding.leak))
    follows = tuple(
        replace(link, levels=put(link.levels)) if k == rule else link
        for k, link in enumerate(finding.follows)
    )
    return replace(finding, follows=follows)


def _rows(reader: "_Reader") -> Rows:
    """The values that each raw state leads to, by what the parents show and root states."""
    shape = reader.shape
    roots = [root for root, _ in shape.sizes]
    rows: Rows = {}
    picked = [range(len(v)) for _, _, v in shape.parents] + [range(n) for _, n in shape.sizes]
    for picks in product(*picked):
        parents = zip(shape.parents, picks, strict=False)
        seen = {p: values[k] for p, ((_, _, values), k) in enumerate(parents)}
        states = dict(shape.known) | dict(zip(roots, picks[len(shape.parents) :], strict=True))
        for k, raw in enumerate(shape.raw):
            rows[*picks, k] = reader.values(raw, seen, states)
    return rows


def _table(shape: Shape, values: tuple[State, ...], rows: Rows) -> Array:
    place = {v: k for k, v in enumerate(values)}
    sizes = (*(len(v) for _, _, v in shape.parents), *(n for _, n in shape.sizes))
    table = np.zeros((*sizes, len(shape.raw), len(values)))
    for position, weights in rows.items():
        for value, weight in weights.items():
            table[*position, place[value]] += weight
    table.flags.writeable = False
    return table


class _Reader:
    """Works out the values of one draw from a raw state and what its parents show.

    With ``only``, the leak or a rule, there are none where that is not tried.
    """

    def __init__(self, shape: Shape, only: int | None = None) -> None:
        self.shape = shape
        self.finding = shape.finding
        self.draw = Draw(-1, shape.rounds, shape.tracked, shape.silent, len(self.finding.answers))
        self.only = only
        self.at = {
            (finding, r): (p, k)
            for p, (finding, tracked, _) in enumerate(shape.parents)
            for k, r in enumerate(tracked)
        }

    def values(self, raw: State, seen: dict[int, State], states: dict[int, int]) -> Weights:
        weights: Weights = {raw: 1.0}
        if holds(self.finding.when, states):
            weights = self._join(weights, self.finding.leak, self._leak_mask())
        elif self.only == LEAK:
            return {}
        for place, link in enumerate(self.finding.follows):
            mask = self._mask(link, seen, states)
            if mask:
                weights = self._join(weights, link.levels, mask)
            elif self.only == place:
                return {}
        result: Weights = {}
        for state, weight in weights.items():
            value = self._gated(state, seen)
            result[value] = result.get(value, 0.0) + weight
        return result

    def _leak_mask(self) -> int:
        mask = sum(1 << r for r in self.draw.rounds)
        return mask | (1 << 30 if self.shape.leak_silent else 0)

    def _mask(self, link: Link, seen: dict[int, State], states: dict[int, int]) -> int:
        """The rounds in which a rule is tried."""
        if not holds(self.finding.when + link.when, states):
            return 0
        return sum(1 << r for r in self.draw.rounds if self._shown(link.source, r, seen) > 0)

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
