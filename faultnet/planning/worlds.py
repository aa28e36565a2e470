"""A problem in arrays: what checks say of each world, what repairs leave of it."""

from collections.abc import Iterable, Sequence
from functools import cached_property
from itertools import pairwise
from math import prod

import numpy as np
from numpy.typing import NDArray

from faultnet.planning.problem import Check, Problem, Repair, World

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

ENDLESS = 1e6
"""Times all costs together: the price of giving up where nothing else may end it."""


class Worlds:
    """The arrays of a fit problem; sets of checks, repairs and set-ups are bit masks.

    ``prior`` (world), ``says[check]`` (answer, world), ``left[repair]`` (world before,
    world after; rows lack what ended the trouble). ``prices[step, on]`` and
    ``then[step, on]`` give the price of a step and the set-ups that are on after it;
    steps are the checks, then the repairs.
    """

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.sets: tuple[World, ...] = tuple(problem.worlds)
        self.faults = sorted({fault for world in self.sets for fault in world})
        self.prior = np.array(list(problem.worlds.values()), dtype=float)
        self.checks, self.repairs = problem.checks, problem.repairs
        self.answers = [tuple(check.answers) for check in self.checks]
        self.says = [np.array(list(check.answers.values()), dtype=float) for check in self.checks]
        self.place = {world: n for n, world in enumerate(self.sets)}
        self.left: Floats = np.zeros((len(self.repairs), len(self.sets), len(self.sets)))
        for number, repair in enumerate(self.repairs):
            self._leave(repair, self.left[number])
        self.masks = 1 << len(self.repairs)
        place = {check.id: n for n, check in enumerate(self.checks)}
        steps: list[Check | Repair] = [*self.checks, *self.repairs]
        self.spoils = [_mask(place[c] for c in step.spoils) for step in steps]
        self._price(steps)
        self.row = {step.id: n for n, step in enumerate(steps)}
        self.radices = [len(answers) + 1 for answers in self.answers]
        starts = np.cumsum([0, *map(len, self.answers)])
        self.rows = [slice(int(a), int(b)) for a, b in pairwise(starts)]
        self.all_says = np.vstack([np.empty((0, len(self.sets))), *self.says])
        self.helps: NDArray[np.bool_] = np.diagonal(self.left, axis1=1, axis2=2) < 1.0
        self._moves = [(*np.nonzero(left), left[np.nonzero(left)]) for left in self.left]

    @cached_property
    def strides(self) -> list[int]:
        """What one answer of each check counts in a number for a set of answers."""
        return [prod(self.radices[:n]) for n in range(len(self.radices))]

    @property
    def answer_sets(self) -> int:
        """How many sets of answers there are, any number of checks not yet done."""
        return prod(self.radices)

    @property
    def cells(self) -> int:
        """Sets of answers times sets of repairs times states of the site."""
        return self.answer_sets * self.masks << len(self.problem.set_ups)

    def tells(self, support: NDArray[np.bool_]) -> NDArray[np.bool_]:
        """Return which checks can tell some of the worlds in a support apart."""
        says = self.all_says[:, support]
        same = says.max(axis=1) == says.min(axis=1)
        return np.array([not same[place].all() for place in self.rows], dtype=bool)

    def after_repair(self, weights: Floats, number: int) -> Floats:
        """Return the weights of the worlds that a repair leaves, what ended left out."""
        before, after, chance = self._moves[number]
        result = np.bincount(after, chance * weights[before], minlength=len(weights))
        return result.astype(float, copy=False)

    @cached_property
    def fall_back(self) -> float:
        """The price of the fall-back; beyond all bounds where there is none."""
        if self.problem.fall_back is not None:
            return self.problem.fall_back
        set_ups = sum(s.make + s.undo for s in self.problem.set_ups)
        steps = [*(c.cost for c in self.checks), *(r.cost for r in self.repairs)]
        return ENDLESS * (sum(steps) + set_ups * len(steps))

    @cached_property
    def lasts(self) -> Floats:
        """P(not over | world, set of repairs done from now) as (set, world)."""
        over = np.ones((self.masks, len(self.sets)))
        done = np.arange(self.masks)
        for fault in self.faults:
            stays = np.ones(self.masks)
            for number, repair in enumerate(self.repairs):
                stays[done >> number & 1 == 1] *= 1.0 - repair.mends.get(fault, 0.0)
            here = [n for n, world in enumerate(self.sets) if fault in world]
            over[:, here] *= 1.0 - stays[:, None]
        return 1.0 - over

    @cached_property
    def untouched(self) -> Floats:
        """P(nothing mended | world, set of repairs) as (set, world)."""
        result = np.ones((self.masks, len(self.sets)))
        alone = [np.diag(left) for left in self.left]
        for done in range(1, self.masks):
            last = done.bit_length() - 1
            result[done] = result[done ^ (1 << last)] * alone[last]
        return result

    @cached_property
    def absent(self) -> Floats:
        """1 where a world has no fault that a set of repairs may mend, as (set, world)."""
        may = [{f for f, mended in r.mends.items() if mended > 0.0} for r in self.repairs]
        hit = [set().union(*(may[n] for n in _bits(done))) for done in range(self.masks)]
        return np.array([[float(not world & hits) for world in self.sets] for hits in hit])

    @cached_property
    def known(self) -> Floats:
        """Least cost if the world were known and set-ups free, as (repairs done, world)."""
        result = np.full((self.masks, len(self.sets)), self.fall_back)
        for layer in reversed(self.layers):
            for number, repair in enumerate(self.repairs):
                before = layer[(layer >> number) & 1 == 0]
                if before.size:
                    after = result[before | (1 << number)] @ self.left[number].T
                    result[before] = np.minimum(result[before], repair.cost + after)
        return result

    @cached_property
    def layers(self) -> list[Ints]:
        """Sets of repairs by how many are in them."""
        every = np.arange(self.masks)
        sizes = np.array([int(mask).bit_count() for mask in every])
        return [every[sizes == n] for n in range(len(self.repairs) + 1)]

    @cached_property
    def speaks_of(self) -> list[int]:
        """For each check the repairs before or after which it may speak differently."""
        return [
            _mask(r for r, left in enumerate(self.left) if _differs(says, left))
            for says in self.says
        ]

    def _leave(self, repair: Repair, left: Floats) -> None:
        for row, world in enumerate(self.sets):
            outcomes = {world: 1.0}
            for fault in world & repair.mends.keys():
                mended = repair.mends[fault]
                outcomes = {
                    rest: chance
                    for before, p in outcomes.items()
                    for rest, chance in ((before - {fault}, p * mended), (before, p * (1 - mended)))
                    if chance > 0.0
                }
            for rest, chance in outcomes.items():
                if rest:
                    left[row, self.place[rest]] += chance

    def _price(self, steps: Sequence[Check | Repair]) -> None:
        number = {s.id: n for n, s in enumerate(self.problem.set_ups)}
        states = np.arange(1 << len(number))
        self.prices = np.empty((len(steps), len(states)))
        self.then = np.empty((len(steps), len(states)), dtype=np.intp)
        for row, step in enumerate(steps):
            on, off = (_mask(number[s] for s in ids) for ids in (step.on, step.off))
            self.then[row] = (states & ~off) | on
            self.prices[row] = step.cost
            for n, set_up in enumerate(self.problem.set_ups):
                if on >> n & 1:
                    self.prices[row] += (set_up.make + set_up.undo) * ((states >> n & 1) == 0)


def _mask(numbers: Iterable[int]) -> int:
    return sum(1 << n for n in set(numbers))


def _bits(mask: int) -> list[int]:
    return [n for n in range(mask.bit_length()) if mask >> n & 1]


def _differs(says: Floats, left: Floats) -> bool:
    before, after = np.nonzero(left)
    return bool((says[:, before] != says[:, after]).any())
