"""What a case shows of each chance: how often it was tried there, and how often it came true.

All of it is expected, given what is known of the case, and exact: one sweep forward and back
gives it. A chance t that is tried with weight W, and in which the weight P of the case grows
with slope D, came true t (W + (1 - t) D) / P times. Tries that tell nothing, as the findings
of which nothing was said, are not counted at all, or the counts would only repeat t.
"""

from collections.abc import Mapping
from math import inf, log

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.inference.observed import Observed
from faultnet.inference.query import Query
from faultnet.inference.rows import Row
from faultnet.inference.slopes import Ends, slopes
from faultnet.learning.estimate.met import Met
from faultnet.learning.estimate.slots import At, Slots
from faultnet.network.network import Finding, Link, Network

Array = npt.NDArray[np.float64]


class Counts(msgspec.Struct, eq=False):
    """Expected counts of one case or of many; ``log`` is the sum of ln P(what is known).

    ``came`` goes by level and ``tried`` by throw, ``present`` and ``absent`` by the cells of
    the causes, ``roots`` by the states of the roots; see ``Slots``.
    """

    cases: float
    log: float
    came: Array
    tried: Array
    present: Array
    absent: Array
    roots: Array

    def __add__(self, other: "Counts") -> "Counts":
        """The counts of both."""
        return Counts(
            self.cases + other.cases,
            self.log + other.log,
            *(a + b for a, b in zip(self.arrays(), other.arrays(), strict=True)),
        )

    def __mul__(self, times: float) -> "Counts":
        """The counts of a case that was met several times."""
        return Counts(self.cases * times, self.log * times, *(a * times for a in self.arrays()))

    def arrays(self) -> tuple[Array, Array, Array, Array, Array]:
        """All that goes by chance."""
        return self.came, self.tried, self.present, self.absent, self.roots


def nothing(slots: Slots) -> Counts:
    """Return the counts of no case."""
    cells = slots.cells[-1].stop
    return Counts(
        0.0,
        0.0,
        np.zeros(slots.rows),
        np.zeros(len(slots.throws)),
        np.zeros(cells),
        np.zeros(cells),
        np.zeros(slots.states[-1].stop if slots.states else 0),
    )


def counts(slots: Slots, met: Met, *, throws: bool = True, work: float = inf) -> Counts:
    """Return what one case shows; without ``throws`` of causes and roots alone.

    Raises ``ImpossibleEvidenceError``, and ``TooLargeError`` where it would pass through more
    cells than ``work``, or more than any query may.
    """
    query = Query(met.network, met.observed, counting=met.counting)
    query.refuse(query.plan.work, work)
    return _Counted(slots, query, throws=throws).run()


def nobody_calls(slots: Slots, network: Network) -> Counts:
    """Return what a site shows at which nothing is at fault, so that nobody calls.

    Its ``log`` is ln P(no cause). Raises ``TooLargeError`` and ``ImpossibleEvidenceError``.
    """
    all_links = tuple(Link(k, (1.0,)) for k in range(len(network.causes)))
    any_cause = Finding("any cause", ("none", "some"), (0.0,), all_links)
    sites = msgspec.structs.replace(network, findings=(any_cause,), faults="any")
    query = Query(sites, Observed(findings={(0, 0): (1.0, 0.0)}))
    return _Counted(slots, query, throws=False).run()


def anybody(slots: Slots, network: Network) -> Counts:
    """Return what a call shows of which nothing is known; with one fault ``log`` is ln Z.

    Z is what the weights of all causes come to.
    """
    query = Query(msgspec.structs.replace(network, findings=()), Observed())
    return _Counted(slots, query, throws=False).run()


class _Counted:
    """Turns the slopes of one query into counts."""

    def __init__(self, slots: Slots, query: Query, *, throws: bool) -> None:
        self.slots, self.query, self.throws = slots, query, throws
        self.network = query.network
        self.found = slopes(query, [Row()], throws=throws)
        self.total = float(self.found.totals[0])
        self.counts = nothing(slots)

    def run(self) -> Counts:
        counts = self.counts
        counts.cases, counts.log = 1.0, log(self.total)
        if self.throws:
            found = self.found
            self._throws("link", found.tries, found.links)
            self._throws("gate", found.gate_tries, found.gates)
            brings = {(*at, 0): slope for at, slope in found.brings.items()}
            self._throws("bring", found.bring_tries, brings)
        for cause, ends in self.found.causes.items():
            self._cause(cause, ends)
        for (root, state), slope in self.found.roots.items():
            chance = self.network.roots[root].prior[state]
            counts.roots[self.slots.states[root].start + state] = chance * slope[0] / self.total
        return counts

    def _throws(
        self,
        kind: str,
        tries: Mapping[tuple[int, int], Array],
        slopes_by: Mapping[tuple[int, int, int], Array],
    ) -> None:
        for (of, at), weight in tries.items():
            place = self.slots.throws.get((kind, of, at))
            if place is None:
                continue
            throw, row = place
            levels = self._levels((kind, of, at))
            tried = weight[0] / self.total
            steep = [
                slopes_by[of, at, level][0] / self.total if (of, at, level) in slopes_by else 0.0
                for level in range(len(levels))
            ]
            quiet = tried - sum(t * d for t, d in zip(levels, steep, strict=True))
            for level, chance in enumerate(levels):
                came = chance * (quiet + steep[level])
                self.counts.came[row + level] = min(max(came, 0.0), tried)
            self.counts.tried[throw] = tried

    def _levels(self, at: At) -> tuple[float, ...]:
        kind, of, place = at
        if kind == "bring":
            return (self.network.causes[of].brings[place].probability,)
        finding = self.network.findings[of]
        if kind == "link":
            return finding.links[place].levels
        return finding.leak if place < 0 else finding.follows[place].levels

    def _cause(self, cause: int, ends: Ends) -> None:
        slots, query = self.slots, self.query
        entry = self.network.causes[cause]
        present, absent = ends.shares(self.network, entry, query.known)
        cells = slots.cells[cause]
        for into, weights in ((self.counts.present, present), (self.counts.absent, absent)):
            into[cells] = self._over_own(cause, ends.roots, weights / self.total).ravel()

    def _over_own(self, cause: int, roots: tuple[int, ...], weights: Array) -> Array:
        """Weights over some roots as weights over those that the cause depends on."""
        own, known = self.slots.roots_of[cause], self.query.known
        weights = weights.sum(axis=tuple(k for k, r in enumerate(roots) if r not in own))
        if weights.shape == self.slots.shapes[cause]:
            return weights
        result = np.zeros(self.slots.shapes[cause])
        result[tuple(known.get(r, slice(None)) for r in own)] = weights
        return result
