"""Causes as a step over many rows takes them: weights and shifts that stand over arrays."""

from typing import TypeAlias

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.inference.leaves import Brought, Copy, Effect, Leaf, Scenario
from faultnet.inference.plan import Step
from faultnet.inference.shifts import ONE, Shift, Weight
from faultnet.inference.sweep import Inputs

Array: TypeAlias = npt.NDArray[np.float64]


class Way(msgspec.Struct, frozen=True, eq=False):
    """A copy that is there with a weight over some roots, and its effects on open axes."""

    weight: Weight
    copy: Copy
    roots: tuple[int, ...]
    shifts: list[Shift]


class Choice(msgspec.Struct, frozen=True, eq=False):
    """Another cause that may come along: in one of some ways, or not."""

    brought: Brought
    absent: Weight
    ways: list[Way]
    loud: bool


class Option(msgspec.Struct, frozen=True, eq=False):
    """A way for a cause to be there, with what it may bring along."""

    own: Way
    brought: list[Choice]
    counts: bool
    counts_brought: bool


class Taken(msgspec.Struct, frozen=True, eq=False):
    """A cause as a step takes it."""

    leaf: Leaf
    absent: Weight
    options: list[Option]


class TakenMaker:
    """Compiles the causes of steps, once each."""

    def __init__(self, inputs: Inputs) -> None:
        """``inputs`` has the sizes of axes."""
        self.inputs = inputs
        self._taken: dict[int, list[Taken]] = {}

    def taken(self, step: Step) -> list[Taken]:
        """The causes of a step, compiled once."""
        kept = self._taken.get(id(step))
        if kept is None:
            kept = self._taken[id(step)] = [self._take(leaf, step) for leaf in step.leaves]
        return kept

    def _take(self, leaf: Leaf, step: Step) -> Taken:
        odds = by_odds(leaf)
        scale = 1.0 / leaf.absent.item() if odds else 1.0
        options = [self._option(scenario, leaf, step, scale) for scenario in leaf.scenarios]
        absent = ONE if odds else self.over(leaf.roots, step, leaf.absent)
        return Taken(leaf, absent, options)

    def _option(self, scenario: Scenario, leaf: Leaf, step: Step, scale: float) -> Option:
        return Option(
            self._made(scenario.weight * scale, scenario.own, leaf, step),
            [self._choice(brought, leaf, step) for brought in scenario.brought],
            scenario.counts,
            scenario.counts_brought,
        )

    def _choice(self, brought: Brought, leaf: Leaf, step: Step) -> Choice:
        ways = [self._made(probability, copy, leaf, step) for probability, copy in brought.ways]
        return Choice(brought, self.over(leaf.roots, step, brought.absent), ways, brought.loud)

    def _made(self, weight: Array, copy: Copy, leaf: Leaf, step: Step) -> Way:
        shifts = [self._shift(effect, leaf, step) for effect in copy.effects]
        return Way(self.over(leaf.roots, step, weight * copy.damp), copy, leaf.roots, shifts)

    def _shift(self, effect: Effect, leaf: Leaf, step: Step) -> Shift:
        axis = self.inputs.first_draw + effect.draw
        moves = []
        for source in range(self.inputs.sizes[axis] - 1, -1, -1):
            stays, targets = effect.quiet, []
            for target, chance in effect.shows[source]:
                if target == source:
                    stays = stays + chance
                else:
                    targets.append((target, self.over(leaf.roots, step, chance)))
            whole = 1.0 if (stays == 1.0).all() else self.over(leaf.roots, step, stays)
            moves.append((source, whole, targets))
        pair = None
        if len(moves) == 2 and not moves[0][2] and len(moves[1][2]) == 1:
            pair = (moves[1][1], moves[1][2][0][1], moves[0][1])
        return Shift(1 + step.axes.index(axis), moves, pair)

    def over(self, roots: tuple[int, ...], step: Step, values: Array) -> Weight:
        """Values over some roots, to stand over an array of rows."""
        if values.size == 1:
            return float(values.item())
        shape = [self.inputs.sizes[a] if a in roots else 1 for a in step.axes]
        return values.reshape(1, *shape, 1)


def by_odds(leaf: Leaf) -> bool:
    """Whether the absence of a cause hangs on nothing and can be divided out."""
    return leaf.absent.size == 1 and leaf.absent.item() > 0.0
