"""How the probability of each case hangs on each unknown number: what a case is worth.

Unknowns are taken by their log-odds (of a chance), or their logarithm (of a factor, or of a
weight where exactly one cause is there). The score of a case is the slope of ln P there.
Louis (1982, JRSS-B 44, from memory): what is learnt of a number is what complete cases would
teach, less what is still uncertain in each case; both come of the expected counts.
"""

import msgspec
import numpy as np

from faultnet.learning.estimate.counts import Counts
from faultnet.learning.estimate.slots import Array, by_cell, levels_of_throws
from faultnet.learning.estimate.unknowns import THROWN, Unknowns
from faultnet.network.network import Network

RATHER = 0.5
"""Beyond this chance a thing rather came true than not."""


class Calling(msgspec.Struct, frozen=True):
    """What is known before a case is looked at.

    ``sites`` of which nobody calls come to one call; ``nobody`` is what one of them shows,
    with exactly one fault what a call shows of which nothing is known.
    """

    sites: float
    nobody: Counts


class Scorer:
    """Works out the scores of cases at one state of the numbers."""

    def __init__(self, unknowns: Unknowns, network: Network, calling: Calling) -> None:
        self.unknowns, self.network, self.calling = unknowns, network, calling
        slots = unknowns.slots
        self.levels = levels_of_throws(network)
        self.chances = by_cell(network, slots, range(len(network.causes)))
        self.learnt = np.flatnonzero(unknowns.of_row >= 0)
        self.of = unknowns.of_row[self.learnt]
        self.throw = slots.throw_of[self.learnt]
        self.size = len(unknowns.all)
        self.one = network.faults == "one"

    def scores(self, counts: Counts) -> tuple[Array, Array]:
        """Return the score of each unknown in a case, and what the case tells of each.

        That is what a complete case would tell, less what is uncertain in this one.
        """
        score, told = np.zeros(self.size), np.zeros(self.size)
        came, tried = counts.came[self.learnt], counts.tried[self.throw]
        levels = self.levels[self.learnt]
        slope = came - levels * tried
        unsure = came * (1.0 - levels) ** 2 + (tried - came) * levels**2 - slope**2
        np.add.at(score, self.of, slope)
        np.add.at(told, self.of, tried * levels * (1.0 - levels) - unsure)
        for cause, k in self.unknowns.bases.items():
            score[k], told[k] = self._base(counts, cause)
        for cause, factors in self.unknowns.factors.items():
            for k in factors:
                score[k] = self._factor(counts, cause, k)
                told[k] = score[k] ** 2
        for root, states in self.unknowns.shares.items():
            for state, k in states.items():
                score[k], told[k] = self._share(counts, root, state)
        return score, told

    def _base(self, counts: Counts, cause: int) -> tuple[float, float]:
        cells = self.unknowns.slots.cells[cause]
        nobody, sites = self.calling.nobody, self.calling.sites
        present, chances = counts.present[cells], self.chances[cells]
        if self.one:
            often, there = float(nobody.present[cells].sum()), float(present.sum())
            return there - often, often * (1.0 - often) - there * (1.0 - there)
        whole = present + counts.absent[cells]
        score = float((present - chances * whole).sum())
        score -= sites * float((chances * nobody.absent[cells]).sum())
        typical = float(self.network.causes[cause].probability)
        often = min(typical * (1.0 + sites), 1.0)
        there = float(present.sum()) + (1.0 - float(whole.sum())) * typical
        return score, often * (1.0 - often) - there * (1.0 - there)

    def _factor(self, counts: Counts, cause: int, k: int) -> float:
        slots, place = self.unknowns.slots, self.unknowns.all[k].place
        root = self.network.causes[cause].factors[place.at][0]
        cells, held = slots.cells[cause], slots.with_state(cause, root, place.level)
        present, chances = counts.present[cells][held], self.chances[cells][held]
        whole = present + counts.absent[cells][held]
        nobody = self.calling.nobody.absent[cells][held]
        return float((present - chances * whole - self.calling.sites * chances * nobody).sum())

    def _share(self, counts: Counts, root: int, state: int) -> tuple[float, float]:
        place = self.unknowns.slots.states[root].start + state
        share = self.network.roots[root].prior[state]
        own = counts.roots[self.unknowns.slots.states[root]]
        there = counts.roots[place] if own.any() else share
        sites = 0.0 if self.one else self.calling.sites
        nobody = self.calling.nobody.roots[place]
        score = there - share + sites * (nobody - share)
        often = min(max(share - sites * (nobody - share), 0.0), 1.0)
        return score, often * (1.0 - often) - there * (1.0 - there)

    def worth(self) -> Array:
        """Return what the authored numbers tell of each unknown, on the same scale."""
        result = np.zeros(self.size)
        whole = sum(cause.probability for cause in self.unknowns.network.causes)
        for k, unknown in enumerate(self.unknowns.all):
            value, worth = self.value(k), float(self.unknowns.worths[k])
            if unknown.kind == "factor":
                result[k] = worth / 4.0
            elif unknown.kind == "how-common":
                each = value / whole if self.one else value * (1.0 - value) / self.unknowns.some
                result[k] = worth * each
            else:
                result[k] = worth * value * (1.0 - value)
        return result

    def value(self, k: int) -> float:
        """Return the number as the network has it."""
        place = self.unknowns.all[k].place
        if place.kind in THROWN:
            return float(self.levels[self.unknowns.slots.row(place)])
        if place.kind == "cause":
            return self.network.causes[place.of].probability
        if place.kind == "factor":
            return self.network.causes[place.of].factors[place.at][1][place.level]
        state = 1 if place.kind == "circumstance" else place.level
        return self.network.roots[place.of].prior[state]

    def came_true(self, counts: Counts) -> list[int]:
        """Return the unknowns of which a thing came true in a case, rather than not."""
        slots = self.unknowns.slots
        found = self.of[counts.came[self.learnt] > RATHER].tolist()
        for cause, k in self.unknowns.bases.items():
            if counts.present[slots.cells[cause]].sum() > RATHER:
                found.append(k)
        for root, states in self.unknowns.shares.items():
            own = slots.states[root]
            found += [k for state, k in states.items() if counts.roots[own][state] > RATHER]
        return list(dict.fromkeys(found))
