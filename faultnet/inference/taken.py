"""Causes as a step over many rows takes them: weights and shifts that stand over arrays."""

from typing import TypeAlias

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.inference.inputs import Inputs
from faultnet.inference.leaves import Brought, Copy, Effect, Leaf, Scenario
from faultnet.inference.plan import Step
from faultnet.inference.shifts import ONE, Shift, Weight, stacked

Array: TypeAlias = npt.NDArray[np.float64]

LIKELY = 0.5
"""Where its absence is at least so likely a cause is taken by its odds; none grows large."""


class Way(msgspec.Struct, frozen=True, eq=False):
    """A copy that is there with a weight over some roots, and its effects on open axes.

    ``ending`` are effects that come only where the row mends the cause.
    """

    weight: Weight
    copy: Copy
    roots: tuple[int, ...]
    shifts: list[Shift]
    ending: list[Effect]


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
        unit = unit_of(leaf)
        options = [self._option(scenario, leaf, step, unit) for scenario in leaf.scenarios]
        return Taken(leaf, self.over(leaf.roots, step, leaf.absent / unit), options)

    def _option(self, scenario: Scenario, leaf: Leaf, step: Step, unit: float) -> Option:
        alone = self.inputs.alone and scenario.counts
        return Option(
            self._way(scenario.weight / unit, scenario.own, leaf, step),
            [self._choice(brought, leaf, step, alone=alone) for brought in scenario.brought],
            scenario.counts,
            scenario.counts_brought,
        )

    def _choice(self, brought: Brought, leaf: Leaf, step: Step, *, alone: bool) -> Choice:
        possible = () if alone else brought.ways
        ways = [self._way(probability, copy, leaf, step) for probability, copy in possible]
        return Choice(brought, self.over(leaf.roots, step, brought.absent), ways, brought.loud)

    def _way(self, weight: Weight, copy: Copy, leaf: Leaf, step: Step) -> Way:
        return Way(
            self.over(leaf.roots, step, weight * copy.damp),
            copy,
            leaf.roots,
            [self.shift(e, leaf.roots, step) for e in copy.effects if not e.ending],
            [effect for effect in copy.effects if effect.ending],
        )

    def shift(
        self, effect: Effect, roots: tuple[int, ...], step: Step, mended: Weight = ONE
    ) -> Shift:
        """An effect as a shift.

        A copy that is not mended shows nothing on an ending draw: what it would have moved
        or confirmed is lost.
        """
        axis = self.inputs.first_draw + effect.draw
        stays: list[Weight] = []
        moves = []
        for source in range(self.inputs.sizes[axis]):
            stay: Weight = self.over(roots, step, effect.quiet, axis)
            for target, chance in effect.shows[source]:
                here = self.over(roots, step, chance, axis) * mended
                if target == source:
                    stay = stay + here
                else:
                    moves.append((source, target, here))
            surely = not effect.ending and all(t == source for t, _ in effect.shows[source])
            stays.append(ONE if surely else stay)
        place = 1 + step.axes.index(axis)
        return Shift(place, stacked(stays, place, len(step.axes) + 2), moves)

    def over(self, roots: tuple[int, ...], step: Step, values: Weight, without: int = -1) -> Weight:
        """Values over some roots, to stand over an array of rows; ``without`` an axis."""
        if isinstance(values, float):
            return values
        sizes = self.inputs.sizes
        shape = [sizes[a] if a in roots else 1 for a in step.axes if a != without]
        return values.reshape(1, *shape, 1)


def unit_of(leaf: Leaf) -> float:
    """What the weights of a cause are told in: its absence, where that hangs on nothing.

    An absence of one spares every array a multiplication.
    """
    absent = leaf.absent
    return absent if isinstance(absent, float) and absent >= LIKELY else ONE
