"""The best plan without checks: which repairs, in which order, before the fall-back."""

from dataclasses import dataclass, field

import numpy as np

from faultnet.planning.worlds import Floats, Ints, Worlds

Sweep = list[tuple[Ints, Ints, Ints, Floats]]
"""Backwards: sets of repairs, each with what may follow: sets then, repairs, prices."""


@dataclass
class RepairOrders:
    """Best orders of repairs, by backward induction over sets of repairs.

    The least expected cost of all orders where no repair demands a set-up off; else of
    an order that may be a little dearer, at the cost it then has.
    Source for the sum that is minimised: Simon & Kadane 1975, Artificial Intelligence 6.
    """

    worlds: Worlds
    _sweeps: dict[tuple[int, int], Sweep] = field(default_factory=dict)

    def costs(self, weights: Floats, done: int, on: int) -> Floats:
        """Return the cost (times weight) of the best order for each row of weights."""
        lasts = weights @ self.worlds.lasts.T
        if self._exact:
            return self._swept(lasts, done, on)[:, 0]
        swept = self._swept(lasts, done, on)
        return np.array(
            [
                self._cost(last, self._order(each, last, done, on), on)
                for last, each in zip(lasts, swept, strict=True)
            ]
        )

    def order(self, weights: Floats, done: int, on: int) -> list[int]:
        """Return the repairs of the best order; the fall-back follows where still needed."""
        lasts = weights @ self.worlds.lasts.T
        return self._order(self._swept(lasts[None, :], done, on)[0], lasts, done, on)

    def _swept(self, lasts: Floats, done: int, on: int) -> Floats:
        best = lasts * self.worlds.fall_back
        for sets, thens, _, prices in self._sweep(done, on):
            follow = lasts[:, sets, None] * prices + best[:, thens]
            best[:, sets] = np.minimum(best[:, sets], follow.min(axis=2))
        return best

    def _order(self, best: Floats, lasts: Floats, done: int, on: int) -> list[int]:
        order: list[int] = []
        now, give_up = 0, self.worlds.fall_back
        rows = {
            int(s): (thens[n], repairs[n], prices[n])
            for sets, thens, repairs, prices in self._sweep(done, on)
            for n, s in enumerate(sets)
        }
        while lasts[now] > 0.0 and now in rows and best[now] < give_up * lasts[now]:
            thens, repairs, prices = rows[now]
            choice = int(np.argmin(lasts[now] * prices + best[thens]))
            order.append(int(repairs[choice]))
            now = int(thens[choice])
        return order

    def _cost(self, lasts: Floats, order: list[int], on: int) -> float:
        worlds, cost, now = self.worlds, 0.0, 0
        for repair in order:
            row = len(worlds.checks) + repair
            cost += float(worlds.prices[row, on] * lasts[now])
            on, now = int(worlds.then[row, on]), now | (1 << repair)
        return cost + float(worlds.fall_back * lasts[now])

    @property
    def _exact(self) -> bool:
        return not any(repair.off for repair in self.worlds.repairs)

    def _sweep(self, done: int, on: int) -> Sweep:
        kept = self._sweeps.get((done, on))
        if kept is None:
            kept = self._sweeps[done, on] = self._make(done, on)
        return kept

    def _make(self, done: int, on: int) -> Sweep:
        worlds = self.worlds
        free = [r for r in range(len(worlds.repairs)) if not done >> r & 1]
        sweep: Sweep = []
        for layer in reversed(worlds.layers[: len(free)]):
            sets = layer[(layer & done) == 0]
            repairs = np.array([[r for r in free if not s >> r & 1] for s in sets], dtype=np.intp)
            states = np.array([self._state(int(s), on) for s in sets], dtype=np.intp)
            prices = worlds.prices[len(worlds.checks) + repairs, states[:, None]]
            sweep.append((sets, sets[:, None] | (1 << repairs), repairs, prices))
        return sweep

    def _state(self, done: int, on: int) -> int:
        """Set-ups that are on after a set of repairs, taken one after the other."""
        for repair in range(len(self.worlds.repairs)):
            if done >> repair & 1:
                on = int(self.worlds.then[len(self.worlds.checks) + repair, on])
        return on
