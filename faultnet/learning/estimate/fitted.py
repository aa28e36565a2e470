"""The numbers that make counts likeliest, beside what the authored ones are worth."""

from functools import cached_property
from math import exp, log

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.learning.estimate.counts import Counts
from faultnet.learning.estimate.slots import Array, by_cell, levels_of_throws
from faultnet.learning.estimate.tilted import Tilted
from faultnet.learning.estimate.unknowns import Unknowns
from faultnet.network.network import Network
from faultnet.network.places import Place, put

Flags = npt.NDArray[np.bool_]

ROUNDS = 50
"""Rounds over the base chance and the factors of a cause, at most."""
STILL = 1e-9
"""How little the log-odds move when they have settled."""


class Calls(msgspec.Struct, frozen=True):
    """Counts of the cases that were met, and of what did not call for each of them.

    ``unseen`` are the sites without any cause, as many as there are to so many calls; with
    exactly one fault, what a call shows of which nothing is known, as many times.
    """

    met: Counts
    unseen: Counts


class Fitter(msgspec.Struct, frozen=True, dict=True):
    """Works out the likeliest numbers.

    An authored chance t that is worth W cases stands for t W cases in which it came true and
    (1 - t) W in which not: that is the likeliest number with no cases. How common a cause is
    stands for W calls, and so for the sites that they come from. A factor has a normal
    prior on its logarithm, with a variance of 4 by W. With ``trust`` at 0 the cases alone
    speak, and factors stay.
    """

    unknowns: Unknowns
    trust: float = 1.0

    def fitted(self, network: Network, calls: Calls) -> Network:
        """Return the network with the numbers that the counts make likeliest."""
        values: dict[Place, float] = {}
        for k, value in self.values(network, calls).items():
            values |= dict.fromkeys(self.unknowns.all[k].authored.places, value)
        return put(network, values)

    def values(self, network: Network, calls: Calls) -> dict[int, float]:
        """Return the likeliest value of each unknown that anything speaks about."""
        found: dict[int, float] = {}
        self._throws(calls.met, found)
        causes = self._weights if network.faults == "one" else self._causes
        causes(network, calls, found)
        self._roots(network, calls, found)
        return found

    # throws

    def _throws(self, met: Counts, found: dict[int, float]) -> None:
        """A level's share of what came true or did not, among those that are not fixed."""
        of, throw = self.unknowns.of_row, self.unknowns.slots.throw_of
        levels, count = self.unknowns.levels, len(met.tried)
        learnt = of >= 0
        worth = self._worth_of_throw
        whole = np.bincount(throw, levels, count)
        fixed = np.bincount(throw, levels * ~learnt, count)
        quiet = met.tried - np.bincount(throw, met.came, count) + worth * (1.0 - whole)
        came = met.came + worth[throw] * levels
        free = np.bincount(throw, came * learnt, count)
        for k, rows in self._rows_of.items():
            ours = throw[rows]
            if len(rows) > 1:
                # A number in several places stands for so many cases once, not in each.
                again = (len(rows) - 1) * worth[ours[0]] * levels[rows[0]]
                still = (len(rows) - 1) * worth[ours[0]] * (1.0 - levels[rows[0]])
                up, down = came[rows].sum() - again, quiet[ours].sum() - still
            else:
                up, down = came[rows[0]], free[ours[0]] - came[rows[0]] + quiet[ours[0]]
            if up + down > 0.0:
                found[k] = float(up / (up + down) * (1.0 - fixed[ours[0]]))

    @cached_property
    def _rows_of(self) -> dict[int, npt.NDArray[np.intp]]:
        of = self.unknowns.of_row
        return {int(k): np.flatnonzero(of == k) for k in np.unique(of[of >= 0])}

    @cached_property
    def _worths(self) -> Array:
        return self.unknowns.worths * self.trust

    @cached_property
    def _worth_of_throw(self) -> Array:
        """What the chances of a throw are worth: as much as the one that is worth most."""
        of, slots = self.unknowns.of_row, self.unknowns.slots
        worth = np.zeros(len(slots.throws))
        np.maximum.at(worth, slots.throw_of[of >= 0], self._worths[of[of >= 0]])
        return worth

    # causes

    def _causes(self, network: Network, calls: Calls, found: dict[int, float]) -> None:
        slots = self.unknowns.slots
        for cause in dict.fromkeys((*self.unknowns.bases, *self.unknowns.factors)):
            cells = slots.cells[cause]
            present = calls.met.present[cells]
            absent = calls.met.absent[cells] + calls.unseen.absent[cells]
            chances = by_cell(network, slots, (cause,))
            there = chances > 0.0
            tilted = Tilted(present[there], absent[there], log_odds(chances[there]))
            self._settle(network, cause, tilted, there, found)

    def _settle(
        self, network: Network, cause: int, tilted: Tilted, there: Flags, found: dict[int, float]
    ) -> None:
        """Settle the base chance of a cause and its factors, one after the other."""
        base = float(log_odds(network.causes[cause].probability))
        moves = dict.fromkeys([*self._of(cause)], 0.0)
        for _ in range(ROUNDS):
            step = 0.0
            for k in moves:
                moved = self._step(network, cause, k, tilted, there, moves[k])
                moves[k] += moved
                step = max(step, abs(moved))
            if step < STILL or len(moves) == 1:
                break
        for k, move in moves.items():
            if self.unknowns.all[k].kind == "how-common":
                found[k] = 1.0 / (1.0 + exp(-base - move))
            else:
                found[k] = self._factor(network, k) * exp(move)

    def _of(self, cause: int) -> list[int]:
        base = self.unknowns.bases.get(cause)
        own = [] if base is None else [base]
        return own + (self.unknowns.factors.get(cause, []) if self.trust else [])

    def _step(
        self, network: Network, cause: int, k: int, tilted: Tilted, there: Flags, so_far: float
    ) -> float:
        """How far one number moves on the log-odds, the others held."""
        unknown, worth = self.unknowns.all[k], float(self._worths[k])
        if unknown.kind == "how-common":
            before = self.unknowns.network.causes[cause].probability
            up, down = (
                worth * before / self.unknowns.some,
                worth * (1.0 - before) / self.unknowns.some,
            )
            at = float(log_odds(network.causes[cause].probability)) + so_far
            return tilted.move(slice(None), (up, down, at))
        root = self._root(k)
        cells = self.unknowns.slots.with_state(cause, root, unknown.place.level)[there]
        off = log(self._factor(network, k) / unknown.authored.value) + so_far
        return tilted.move(cells, normal=(off, worth / 4.0))

    def _root(self, k: int) -> int:
        place = self.unknowns.all[k].place
        return self.unknowns.network.causes[place.of].factors[place.at][0]

    def _factor(self, network: Network, k: int) -> float:
        place = self.unknowns.all[k].place
        return network.causes[place.of].factors[place.at][1][place.level]

    def _weights(self, network: Network, calls: Calls, found: dict[int, float]) -> None:
        """Where exactly one is there: what it was by what it would be, each case a call."""
        whole = sum(cause.probability for cause in self.unknowns.network.causes)
        for cause, k in self.unknowns.bases.items():
            cells = self.unknowns.slots.cells[cause]
            before = self.unknowns.network.causes[cause].probability
            worth = float(self._worths[k]) * before / whole
            often = calls.unseen.present[cells].sum() / network.causes[cause].probability
            each = often + worth / before
            if each > 0.0:
                found[k] = (calls.met.present[cells].sum() + worth) / each

    # roots

    def _roots(self, network: Network, calls: Calls, found: dict[int, float]) -> None:
        for root, states in self.unknowns.shares.items():
            own = self.unknowns.slots.states[root]
            prior = np.array(self.unknowns.network.roots[root].prior)
            now = np.array(network.roots[root].prior)
            unseen = calls.unseen.roots[own] if network.faults != "one" else 0.0
            learnt = np.isin(np.arange(len(prior)), list(states))
            if len(prior) == 2:
                learnt[:] = True
            worth = self._worths[next(iter(states.values()))]
            weights = calls.met.roots[own] + unseen + worth * prior
            if weights[learnt].sum() > 0.0:
                shares = weights / weights[learnt].sum() * now[learnt].sum()
                found |= {k: float(shares[state]) for state, k in states.items()}

    # how likely it is

    def log_prior(self, network: Network) -> float:
        """Return the logarithm of the prior of the numbers, but for a constant."""
        throw, worth = self.unknowns.slots.throw_of, self._worth_of_throw
        before, now = (
            np.append(levels, 1.0 - np.bincount(throw, levels))
            for levels in (self.unknowns.levels, levels_of_throws(network))
        )
        first = [rows[0] for rows in self._rows_of.values()]
        throws = np.unique(throw[first])
        terms = np.concatenate([first, len(throw) + throws]).astype(int)
        terms = terms[before[terms] > 0.0]
        weights = np.append(worth[throw], worth)[terms] * before[terms]
        result = float(weights @ np.log(now[terms]))
        return result + self._log_prior_of_causes(network) + self._log_prior_of_roots(network)

    def _log_prior_of_causes(self, network: Network) -> float:
        result = 0.0
        authored = self.unknowns.network.causes
        whole = sum(cause.probability for cause in authored)
        for cause, k in self.unknowns.bases.items():
            now, before = network.causes[cause].probability, authored[cause].probability
            if network.faults == "one":
                result += self._worths[k] * (before * log(now) - now) / whole
            else:
                up, down = before * log(now), (1.0 - before) * log(1.0 - now)
                result += self._worths[k] * (up + down) / self.unknowns.some
        for of in self.unknowns.factors.values():
            for k in of:
                off = log(self._factor(network, k) / self.unknowns.all[k].authored.value)
                result -= off * off * self._worths[k] / 8.0
        return result

    def _log_prior_of_roots(self, network: Network) -> float:
        result = 0.0
        for root, states in self.unknowns.shares.items():
            worth = self._worths[next(iter(states.values()))]
            before, now = self.unknowns.network.roots[root].prior, network.roots[root].prior
            result += worth * sum(b * log(p) for b, p in zip(before, now, strict=True) if b)
        return result


def log_odds(chance: Array | float) -> Array:
    """Return the logarithm of the odds."""
    return np.asarray(np.log(chance) - np.log1p(-np.asarray(chance)))
