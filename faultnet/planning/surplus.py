"""A sharper lower bound: an easier problem, solved exactly for every set of answers.

In the easier problem, a repair that mends a fault without ending the trouble also tells
which fault that was, and which answers were due to it; those checks can be done again.
What is left is then a problem of the same kind without that fault, so one table holds
them all: for each cell (repairs done, answers, set-ups on) the least expected cost, less
the cost if the world were known, both times the weight of the worlds that are free of
all faults that the repairs done may mend. Where the problem is not of such a kind
(faults that depend on one another, answers that are no sum of what each fault brings),
only the part of the weights that is gets a surplus; the rest counts at its known cost.
The least expected cost is concave in the weights, so the sum of parts is a lower bound.

With one fault at a time no repair mends a fault without ending the trouble: the bound
is then exact.
"""

from collections import deque
from collections.abc import Iterator

import numpy as np

from faultnet.planning.shares import SILENT, added_odds, shares
from faultnet.planning.worlds import Floats, Ints, Worlds

MOST_CELLS = 1 << 27
"""Cells of the largest table that is made, 8 bytes each."""
LEAST = 1e-6
"""Parts of the weights below this share of all are left at their known cost."""


def affordable(worlds: Worlds) -> bool:
    """Tell whether the table of a problem is small enough to be made."""
    wide = max(worlds.masks * worlds.then.shape[1], len(worlds.sets))
    return worlds.answer_sets * wide <= MOST_CELLS


Parts = tuple[Floats, Ints]
"""Factors, and the cells of the table whose weights they multiply."""
State = tuple[int, int]
"""Repairs done; those of them whose faults are all gone, the others having failed or missed."""


class Surplus:
    """The table, filled backwards: from all repairs and checks done to none."""

    def __init__(self, worlds: Worlds) -> None:
        self.worlds = worlds
        self._odds = {fault: added_odds(worlds, fault) for fault in worlds.faults}
        mixes = {f: [shares(worlds, says, f) for says in worlds.says] for f in worlds.faults}
        self._heard = {
            fault: [(check, mix) for check, mix in enumerate(each) if (mix != SILENT).any()]
            for fault, each in mixes.items()
        }
        strides = np.array(worlds.strides, dtype=np.intp)[:, None]
        radices = np.array(worlds.radices, dtype=np.intp)[:, None]
        self._digits = np.arange(worlds.answer_sets) // strides % radices
        self.states = self._track()
        self._number = {state: n for n, state in enumerate(self.states)}
        self._fill()

    def all(self, answers: int, done: int) -> Parts:
        """Return the parts after some answers and repairs of which nothing else is known."""
        state = (0, 0)
        for number in range(len(self.worlds.repairs)):
            state = self._missed(state, number) if done >> number & 1 else state
        return np.ones(1), np.array([self._number[state] * self.worlds.answer_sets + answers])

    def at(self, parts: Parts, on: int) -> float:
        """Return what must be added to the known cost of parts of the weights."""
        factors, cells = parts
        size = self.worlds.answer_sets
        return float(factors @ self._table[cells // size, on, cells % size])

    def answered(self, parts: Parts, check: int, answer: int) -> Parts:
        """Return the parts after an answer."""
        return parts[0], parts[1] + (answer + 1) * self.worlds.strides[check]

    def repaired(self, parts: Parts, number: int) -> Parts:
        """Return the parts after a repair that did not end the trouble."""
        size = self.worlds.answer_sets
        factors, cells = parts
        found = []
        for n in np.unique(cells // size):
            state = self.states[n]
            here = cells // size == n
            to = self._number[self._missed(state, number)]
            found.append((factors[here], cells[here] + (to - n) * size))
            for fault, chance in self._new(state, number):
                to = self._number[_gone(state, number)]
                part = factors[here] * chance, cells[here] + (to - n) * size
                found.append(self._shared_out(part, fault))
        cells, place = np.unique(np.concatenate([c for _, c in found]), return_inverse=True)
        factors = np.concatenate([f for f, _ in found])
        return np.bincount(place, factors, minlength=len(cells)).astype(float, copy=False), cells

    def _shared_out(self, part: Parts, fault: str) -> Parts:
        """Return parts in which answers were, or were not, due to a fault now mended."""
        factors, cells = part
        for check, mix in self._heard[fault]:
            digits = self._digits[check][cells % self.worlds.answer_sets]
            goes = factors * mix[digits, 0]
            again = goes > LEAST
            factors = np.concatenate([factors * mix[digits, 1], goes[again]])
            moved = cells[again] - digits[again] * self.worlds.strides[check]
            cells = np.concatenate([cells, moved])
        kept = factors > LEAST
        return factors[kept], cells[kept]

    def _track(self) -> list[State]:
        """Return the states, the start first; as many failed repairs told apart as affordable."""
        worlds = self.worlds
        failing = {
            n: max(1.0 - mended for mended in repair.mends.values())
            for n, repair in enumerate(worlds.repairs)
        }
        most = MOST_CELLS // (worlds.answer_sets * worlds.then.shape[1])
        self._tracked = {n for n, failure in failing.items() if failure > 0.0}
        while True:
            states = self._reached()
            if len(states) <= most or not self._tracked:
                return states
            self._tracked.remove(min(self._tracked, key=failing.__getitem__))

    def _reached(self) -> list[State]:
        """Return every state that repairs lead to, in the order in which they are come to."""
        found: dict[State, None] = {(0, 0): None}
        reached = deque(found)
        while reached:
            new = [s for s in self._after(reached.popleft()) if s not in found]
            found.update(dict.fromkeys(new))
            reached.extend(dict.fromkeys(new))
        return list(found)

    def _after(self, state: State) -> Iterator[State]:
        """Yield the states that one more repair leads to."""
        for number in range(len(self.worlds.repairs)):
            if not state[0] >> number & 1:
                yield self._missed(state, number)
                if self._new(state, number):
                    yield _gone(state, number)

    def _missed(self, state: State, number: int) -> State:
        """The state after a repair that mended nothing."""
        bit = 1 << number
        return state[0] | bit, state[1] | (0 if number in self._tracked else bit)

    def _new(self, state: State, number: int) -> list[tuple[str, float]]:
        """Faults that a repair may mend with others left, and the factor on the weights then."""
        result = []
        for fault, mended in self.worlds.repairs[number].mends.items():
            chance = mended * self._odds[fault]
            for n, repair in enumerate(self.worlds.repairs):
                if state[0] >> n & 1 and fault in repair.mends:
                    chance *= 0.0 if state[1] >> n & 1 else 1.0 - repair.mends[fault]
            if chance > 0.0:
                result.append((fault, chance))
        return result

    def _fill(self) -> None:
        worlds = self.worlds
        self._likely = self._likelihoods()
        self._levels = self._lay_out()
        shape = (len(self.states), worlds.then.shape[1], worlds.answer_sets)
        self._table = np.empty(shape)
        for n in sorted(range(len(self.states)), key=lambda n: -self.states[n][0].bit_count()):
            self._table[n] = self._solve(self.states[n])
        del self._likely, self._levels

    def _cells(self, state: State) -> Floats:
        cells: Floats = self._table[self._number[state]]
        return cells

    def _likelihoods(self) -> Floats:
        """Weight of each world with each set of answers, as (world, answers)."""
        weights = np.repeat(self.worlds.prior[:, None], self.worlds.answer_sets, axis=1)
        for says, digits in zip(self.worlds.says, self._digits, strict=True):
            weights *= np.vstack([np.ones(len(self.worlds.prior)), says]).T[:, digits]
        return weights

    def _lay_out(self) -> list[list[tuple[int, Ints]]]:
        """By how many checks are done, most first: each check with where it can be done."""
        worlds = self.worlds
        able = self._digits == 0
        for check in range(len(worlds.checks)):
            for other in range(len(worlds.checks)):
                if worlds.spoils[check] >> other & 1:
                    able[other] &= self._digits[check] == 0
        level = (self._digits > 0).sum(axis=0)
        return [
            [(k, np.flatnonzero(able[k] & (level == n))) for k in range(len(worlds.checks))]
            for n in range(len(worlds.checks) - 1, -1, -1)
        ]

    def _solve(self, state: State) -> Floats:
        """Return the cells of a state."""
        worlds, done = self.worlds, state[0]
        share = worlds.untouched[done & ~state[1]] * worlds.absent[state[1]]
        free = np.flatnonzero(share > 0.0)
        weights = self._likely[free] * share[free, None]
        known = worlds.known[done, free]
        chance = weights.sum(axis=0)
        states = worlds.then.shape[1]
        best = np.repeat(((worlds.fall_back - known) @ weights)[None, :], states, axis=0)
        spoilt = 0
        for number in range(len(worlds.repairs)):
            row = len(worlds.checks) + number
            if done >> number & 1:
                spoilt |= worlds.spoils[row]
                continue
            grown = worlds.left[number, free] @ worlds.known[done | 1 << number] - known
            cost = self._follows(state, number)[worlds.then[row]]
            cost += grown @ weights + worlds.prices[row][:, None] * chance
            np.minimum(best, cost, out=best)
        for level in self._levels:
            for check, cells in level:
                if cells.size and not spoilt >> check & 1:
                    self._look(best, chance, check, cells)
        return best

    def _follows(self, state: State, number: int) -> Floats:
        """Return the cells after a repair: nothing mended, or one fault and more left."""
        total = self._cells(self._missed(state, number)).copy()
        for fault, chance in self._new(state, number):
            part = self._cells(_gone(state, number)) * chance
            for check, mix in self._heard[fault]:
                part = self._mixed(part, check, mix)
            total += part
        return total

    def _mixed(self, part: Floats, check: int, mix: Floats) -> Floats:
        """Share cells out among those where an answer was due to a mended fault or not."""
        radix, stride = self.worlds.radices[check], self.worlds.strides[check]
        cube = part.reshape(-1, radix, stride)
        return (mix[:, 1:] * cube + mix[:, :1] * cube[:, :1]).reshape(part.shape)

    def _look(self, best: Floats, chance: Floats, check: int, cells: Ints) -> None:
        """Lower the cost of cells to that of a check from there."""
        worlds = self.worlds
        stride = worlds.strides[check]
        after = best.take(cells + stride, axis=1)
        for answer in range(1, len(worlds.answers[check])):
            after += best.take(cells + (answer + 1) * stride, axis=1)
        after = after[worlds.then[check]] + worlds.prices[check][:, None] * chance[cells]
        best[:, cells] = np.minimum(best.take(cells, axis=1), after)


def _gone(state: State, number: int) -> State:
    """The state after a repair that left none of its faults."""
    return state[0] | 1 << number, state[1] | 1 << number
