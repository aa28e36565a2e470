"""Slopes: how P(evidence and row) grows with every chance of the network, all in one sweep.

The sweep is run forward, kept step by step, and back. At each step the weight is what
came before times what the step does times what comes after, so its slope in a chance
of that step needs no further sweep (reverse accumulation). Slopes are exact; those of
links and rules are differences of such weights.
"""

from collections.abc import Hashable, Iterator, Sequence
from typing import TypeVar

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.inference.engine import ImpossibleEvidenceError
from faultnet.inference.gates import LEAK, Gate, Tried, gate_slope, gate_tries
from faultnet.inference.kernel import Kernel, taken_apart
from faultnet.inference.leaves import LinkAt, Tie, chances
from faultnet.inference.plan import Step
from faultnet.inference.query import Query
from faultnet.inference.rows import Factors, Row
from faultnet.inference.shifts import Weight, at_state, shown, unshown
from faultnet.inference.taken import Choice, Option, Taken, Way, unit_of
from faultnet.network.network import Cause, Levels, Network

Array = npt.NDArray[np.float64]
Key = TypeVar("Key", bound=Hashable)
State = tuple[int, int]
"""A root, and one of its states."""
Use = tuple[int, int, int]
"""Where a link is tried: by a cause, on a draw, brought by a cause (itself if by none)."""


class Ends(msgspec.Struct, eq=False):
    """The weight of a row as P(present) . present + P(absent) . absent over some root states.

    Arrays have axes (states of ``roots`` in order, rows).
    """

    roots: tuple[int, ...]
    present: Array
    absent: Array

    def weigh(self, network: Network, cause: Cause, known: dict[int, int]) -> Array:
        """Return the weights of the rows with other chances or factors of the cause."""
        present, absent = chances(network, cause, self.roots, known)
        both = self.present * present[..., None] + self.absent * absent[..., None]
        return np.asarray(both.reshape(-1, both.shape[-1]).sum(axis=0))

    def shares(self, network: Network, cause: Cause, known: dict[int, int]) -> tuple[Array, Array]:
        """Return the weights of the first row with the cause there, and with it not there.

        They go by the states of the roots. It counts as there if it came of itself.
        """
        present, absent = chances(network, cause, self.roots, known)
        return self.present[..., 0] * present, self.absent[..., 0] * absent

    def tilt(
        self, network: Network, cause: Cause, known: dict[int, int], state: State | None = None
    ) -> Array:
        """Return how the weights grow with the log-odds of the cause.

        With ``state``, a root with one of its states, only as far as that holds. Where
        exactly one cause is there it is the logarithm of its weight instead.
        """
        present, absent = chances(network, cause, self.roots, known)
        gain = self.present - self.absent
        spread = present * absent
        if network.faults == "one":
            gain, spread = self.present, present
        both = gain * spread[..., None]
        if state is not None:
            root, number = state
            if root in self.roots:
                both = both.take([number], axis=self.roots.index(root))
            elif known.get(root) != number:
                both = np.zeros_like(both)
        return np.asarray(both.reshape(-1, both.shape[-1]).sum(axis=0))


class Slopes(msgspec.Struct, eq=False):
    """Weights of rows, and how they grow with each chance of the network.

    ``links`` go by finding and place among its links and level, ``gates`` by finding, rule
    (``LEAK`` or its place) and level, ``brings`` by cause and place, ``roots`` by root and
    state. ``uses`` holds where each link is tried: tried in one place, a weight is linear
    in it. ``tries`` holds, by the same keys but the level, the weight of a row where a link
    is tried, once for each place and time that it is; and so ``gate_tries`` and
    ``bring_tries``.
    """

    totals: Array
    causes: dict[int, Ends] = {}
    links: dict[tuple[int, int, int], Array] = {}
    gates: dict[tuple[int, int, int], Array] = {}
    brings: dict[tuple[int, int], Array] = {}
    roots: dict[tuple[int, int], Array] = {}
    uses: dict[LinkAt, set[Use]] = {}
    draws: dict[int, int] = {}
    tries: dict[LinkAt, Array] = {}
    gate_tries: dict[tuple[int, int], Array] = {}
    bring_tries: dict[tuple[int, int], Array] = {}


def slopes(query: Query, rows: Sequence[Row], *, throws: bool = True) -> Slopes:
    """Return the weights of rows with their slopes; rows leave causes out, and no more.

    Without ``throws`` only causes and roots are looked at, which takes half the time.

    Raises ``TooLargeError`` and ``ImpossibleEvidenceError``.
    """
    query.refuse(max(query.plan.cells, query.plan.work // 4))
    if query.statuses.impossible:
        raise ImpossibleEvidenceError
    return _Sloped(query, rows, throws=throws).run()


class _Sloped(Kernel):
    """A kernel that works out, at each step on the way back, the slopes of its chances."""

    def __init__(self, query: Query, rows: Sequence[Row], *, throws: bool) -> None:
        super().__init__(taken_apart(query.plan.steps), query.inputs)
        self.query = query
        self.throws = throws
        self.size = len(rows)
        self.factors = Factors(query.row_maker.batch(rows))
        self.unit = self.scale * query.constant
        self.found = Slopes(np.zeros(self.size))

    def run(self) -> Slopes:
        before = [self.start()]
        for step in self.steps:
            before.append(self.forward(step, before[-1], self.factors))
        goal = np.zeros_like(before[-1])
        goal[list(self.query.accepted)] = 1.0
        self._add_up(before.pop(), goal)
        for step in reversed(self.steps):
            passed = before.pop()
            self._sloped(step, passed, goal)
            goal, _ = self.backward(step, goal, self.factors)
        self._settled()
        return self.found

    def _add_up(self, last: Array, goal: Array) -> None:
        totals = (last * goal).reshape(-1, last.shape[-1]).sum(axis=0)
        self.found.totals = self._by_row(totals)
        if not self.found.totals.any():
            raise ImpossibleEvidenceError

    def _sloped(self, step: Step, passed: Array, goal: Array) -> None:
        if step.kind == "cause":
            _Cause(self, step, self.causes.taken(step)[0], passed, goal).enter()
        elif step.kind == "gate" and self.throws:
            self._gate_slopes(step, passed, goal)
        elif step.kind == "open-root":
            self._root_slopes(step, passed, goal)

    def _gate_slopes(self, step: Step, passed: Array, goal: Array) -> None:
        gate = self.inputs.gates[step.what]
        _, (before, letters, after) = self.axes.gate_operands(step)
        open_axes = "".join(c for c in letters if c in before)
        weights = np.einsum(f"{before},{after}->{open_axes}Z{before[-1]}", passed, goal)
        for tried in self._tried(gate):
            slope = gate_slope(gate, tried)
            self._enter_gate(gate, tried, np.tensordot(slope, weights, slope.ndim) * self.unit)
        for rule in self._rules(gate):
            there = gate_tries(gate, rule)
            self._enter_tries(gate, rule, np.tensordot(there, weights, there.ndim) * self.unit)

    def _tried(self, gate: Gate) -> Iterator[Tried]:
        """The chances that a gate joins, as far as they are not zero."""
        for rule, levels in self._rules(gate).items():
            yield from ((rule, level) for level, chance in enumerate(levels) if chance)

    def _rules(self, gate: Gate) -> dict[int, Levels]:
        """What a gate joins: its leak and its rules."""
        finding = gate.shape.finding
        return {LEAK: finding.leak, **{k: f.levels for k, f in enumerate(finding.follows)}}

    def _enter_gate(self, gate: Gate, tried: Tried, weights: Array) -> None:
        key = (self.query.draws[gate.draw].finding, *tried)
        self.found.gates[key] = self.found.gates.get(key, 0.0) + self._rows(weights)

    def _enter_tries(self, gate: Gate, rule: int, weights: Array) -> None:
        key = (self.query.draws[gate.draw].finding, rule)
        self.found.gate_tries[key] = self.found.gate_tries.get(key, 0.0) + self._rows(weights)

    def _settled(self) -> None:
        """Enter gates without a choice and roots with one state: factors of the whole."""
        query, totals = self.query, self.found.totals
        for draw in query.draws:
            self.found.draws[draw.finding] = self.found.draws.get(draw.finding, 0) + 1
        for gate in query.gates if self.throws else ():
            if gate.constant is None:
                continue
            for tried in self._tried(gate):
                slope = float(gate_slope(gate, tried).item())
                self._enter_gate(gate, tried, totals * slope / gate.constant)
            for rule in self._rules(gate):
                there = float(gate_tries(gate, rule).item())
                self._enter_tries(gate, rule, totals * there / gate.constant)
        for root, state in query.known.items():
            self.found.roots[root, state] = totals / query.network.roots[root].prior[state]

    def _root_slopes(self, step: Step, passed: Array, goal: Array) -> None:
        place = 1 + sum(a < step.what for a in step.axes)
        both = np.expand_dims(passed, place) * goal
        root = self.query.network.roots[step.what]
        likelihood = self.query.observed.roots.get(step.what, (1.0,) * len(root.states))
        for state, chance in enumerate(likelihood):
            here = at_state(both, place, state)
            weights = here.reshape(-1, here.shape[-1]).sum(axis=0) * (chance * self.unit)
            self.found.roots[step.what, state] = self._rows(weights)

    def _by_row(self, values: Array) -> Array:
        return self._rows(values * self.unit)

    def _rows(self, values: Array) -> Array:
        """Values by row, where one may stand for all."""
        return np.array(np.broadcast_to(values, (*values.shape[:-1], self.size)))

    def wanted(self, way: Way, step: Step) -> Weight:
        """What the rows make of a copy: nothing where they leave its cause out."""
        return self.way(msgspec.structs.replace(way, weight=1.0), self.factors, step)


class _Cause:
    """The slopes of one cause, from what came before its step and what comes after.

    Arrays over the root states that the cause depends on have the rows as last axis.
    """

    def __init__(
        self, kernel: _Sloped, step: Step, taken: Taken, passed: Array, goal: Array
    ) -> None:
        self.kernel, self.step, self.taken = kernel, step, taken
        self.leaf, self.found = taken.leaf, kernel.found
        self.passed, self.goal = passed, goal
        self.where = kernel.factors, step
        self.unit = kernel.unit / unit_of(self.leaf)
        scope = set(self.leaf.roots)
        self.rest = (0, *(1 + k for k, a in enumerate(step.axes) if a not in scope))

    def enter(self) -> None:
        """Enter all slopes of the cause."""
        leaf = self.leaf
        query = self.kernel.query
        cause = query.network.causes[leaf.cause]
        present, absent = chances(query.network, cause, leaf.roots, query.known)
        ends = [np.zeros((*present.shape, self.kernel.size)) for _ in range(2)]
        ends[1] += _over(_shares(leaf.absent, absent)) * self._reduced(self.passed, self.goal)
        for option, scenario in zip(self.taken.options, leaf.scenarios, strict=True):
            share = _shares(scenario.weight, present if option.counts else absent)
            weight = self._option(option, scenario.weight)
            ends[0 if option.counts else 1] += _over(share) * weight
        self.found.causes[leaf.cause] = Ends(leaf.roots, *ends)

    def _option(self, option: Option, weight: Weight) -> Array:
        """Enter the slopes of a way to be there; return its weight for each of its own."""
        start, goal = self.passed, self.goal
        if option.counts:
            start, goal = self.kernel.tally.counted(start), self.kernel.tally.lifted(goal)
        wanted = _over(np.ones_like(weight)) * self.kernel.wanted(option.own, self.step)
        if not self.kernel.throws:
            after = shown(option.own.shifts, start)
            for choice in option.brought:
                after = self.kernel.bring(choice, option, after, *self.where)
            return self._reduced(after, goal) * wanted * _over(option.own.copy.damp)
        shown_by = self._shown(option.own, start)
        brought = [shown_by[-1]]
        for choice in option.brought:
            brought.append(self.kernel.bring(choice, option, brought[-1], *self.where))
        bare = _over(weight) * wanted
        damped = bare * _over(option.own.copy.damp)
        for choice, passed in zip(reversed(option.brought), reversed(brought[:-1]), strict=True):
            self._choice(choice, passed, goal, damped)
            goal = self.kernel.unbring(choice, option, goal, *self.where)
        whole = self._reduced(shown_by[-1], goal)
        self._tries(option.own, whole * damped)
        self._silent(option.own, whole * bare)
        self._loud(option.own, shown_by, goal, damped)
        return whole * wanted * _over(option.own.copy.damp)

    def _choice(self, choice: Choice, passed: Array, goal: Array, weight: Array) -> None:
        """Enter the slopes of what may be brought along: its chance, and its links."""
        brought = choice.brought
        chance = self.kernel.query.network.causes[self.leaf.cause].brings[brought.place].probability
        without = self._reduced(passed, goal) * weight
        slope = -without * _over(brought.possible)
        there = without * _over(brought.possible * brought.absent)
        for way, (weight_of_way, copy) in zip(choice.ways, brought.ways, strict=True):
            shown_by = self._shown(way, passed)
            bare = weight * _over(weight_of_way) * self.kernel.wanted(way, self.step)
            damped = bare * _over(copy.damp)
            whole = self._reduced(shown_by[-1], goal)
            self._tries(way, whole * damped)
            self._silent(way, whole * bare)
            self._loud(way, shown_by, goal, damped)
            slope = slope + whole * damped / chance
            there = there + whole * damped
        key = self.leaf.cause, brought.place
        self._add(self.found.brings, key, slope)
        self._add(self.found.bring_tries, key, there)

    def _shown(self, way: Way, array: Array) -> list[Array]:
        """The array before each effect of a copy, and after the last."""
        arrays = [array]
        for shift in way.shifts:
            arrays.append(shown([shift], arrays[-1]))
        return arrays

    def _tries(self, way: Way, weight: Array) -> None:
        """Enter where the links of a copy are tried; ``weight`` is that of its being there."""
        for tie in (*way.copy.silent, *(effect.tie for effect in way.copy.effects)):
            self._add(self.found.tries, tie.link, weight * _over(tie.shown))

    def _silent(self, way: Way, weight: Array) -> None:
        """Enter the slopes of links that must keep quiet; ``weight`` is without their quiet."""
        ties = way.copy.silent
        for k, tie in enumerate(ties):
            others = np.ones_like(tie.quiet)
            for other in (*ties[:k], *ties[k + 1 :]):
                others = others * other.quiet
            slope = -weight * _over(others * tie.shown)
            for level in range(self._levels(tie)):
                self._add(self.found.links, (*tie.link, level), slope)
            self._use(tie, way)

    def _loud(self, way: Way, shown_by: list[Array], goal: Array, weight: Array) -> None:
        """Enter the slopes of links on open axes, the last one first."""
        effects = zip(way.copy.effects, way.shifts, shown_by[:-1], strict=True)
        for effect, shift, passed in reversed(list(effects)):
            draw = self.kernel.query.draws[effect.draw]
            at = {state: k for k, state in enumerate(draw.raw)}
            for level in range(self._levels(effect.tie)):
                element = draw.element(way.copy.alive, level + 1)
                moved = [at[draw.join(state, element)] for state in draw.raw]
                gain = goal.take(moved, axis=shift.place) - goal
                slope = self._reduced(passed, gain) * weight * _over(effect.tie.shown)
                self._add(self.found.links, (*effect.tie.link, level), slope)
            self._use(effect.tie, way)
            goal = unshown([shift], goal)

    def _levels(self, tie: Tie) -> int:
        finding, place = tie.link
        return len(self.kernel.query.network.findings[finding].links[place].levels)

    def _use(self, tie: Tie, way: Way) -> None:
        use = (self.leaf.cause, tie.draw, way.copy.cause)
        self.found.uses.setdefault(tie.link, set()).add(use)

    def _reduced(self, passed: Array, goal: Array) -> Array:
        """The weight over the root states that the cause depends on, by row."""
        return np.asarray((passed * goal).sum(axis=self.rest) * self.unit)

    def _add(self, into: dict[Key, Array], key: Key, slope: Array) -> None:
        slope = slope.reshape(-1, slope.shape[-1]).sum(axis=0)
        into[key] = into.get(key, 0.0) + np.broadcast_to(slope, (self.kernel.size,))


def _over(values: Weight) -> Array:
    """Values over root states, to stand beside those that also go by row."""
    return np.asarray(values)[..., None]


def _shares(part: Weight, whole: Array) -> Array:
    """A part by the whole; nothing where the whole is nothing."""
    part = np.asarray(part)
    return np.divide(part, whole, out=np.zeros_like(part), where=whole > 0.0)
