"""W(S): the chance that mending a set of causes ends the trouble.

The trouble has ended when no finding told as wrong, and none that it follows from,
is still produced by a cause outside the set or by its leak. The leak of a danger does
not count: it is made safe before anything is mended. With nothing told as wrong, the
trouble has ended when no cause outside the set is present.
"""

from collections.abc import Sequence
from functools import cached_property
from itertools import product
from math import inf

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.advice.subject import Subject
from faultnet.inference.downsets import Expander, Terms
from faultnet.inference.observed import Observed
from faultnet.inference.query import Query
from faultnet.inference.rows import Row, Tip
from faultnet.network.network import Network

Array = npt.NDArray[np.float64]


class Asked(msgspec.Struct, frozen=True):
    """A hypothetical answer, sets of repairs to weigh after it, and what it tips."""

    terms: Terms
    sets: Sequence[frozenset[str]]
    tip: Tip | None = None


def told_wrong(subject: Subject, observed: Observed) -> tuple[int, ...]:
    """Return the findings answered as wrong in the open round that a repair should end.

    Stories do not end by a repair, nor does what no cause makes (somebody in the cistern).
    """
    told = []
    for (finding, round_), likelihood in observed.findings.items():
        if round_ != observed.now:
            continue
        entry = subject.network.findings[finding]
        history = subject.knowledge.findings[entry.id].history
        wrong = max(likelihood[1 : len(entry.answers)], default=0.0) > likelihood[0]
        if wrong and not history and entry.has_sources:
            told.append(finding)
    return tuple(told)


class Works(msgspec.Struct, frozen=True, dict=True):
    """Weighs sets of repairs for evidence and hypothetical answers.

    ``complaints`` are the findings that are to end; ``repairs`` the repairs that can be
    weighed; ``candidates`` the findings that hypothetical answers may be about.
    ``network`` is the subject's, or one in which unknown roots are averaged out. More than
    ``most`` cells are not worked through.
    """

    subject: Subject
    network: Network
    observed: Observed
    complaints: tuple[int, ...]
    repairs: tuple[str, ...]
    candidates: tuple[int, ...]
    most: float = inf

    @cached_property
    def late(self) -> frozenset[int]:
        """Causes that some repair mends."""
        return frozenset(c for r in self.repairs for c in self.subject.mended_by[r])

    @cached_property
    def query(self) -> Query:
        """The evidence compiled so that what was told as wrong is to end."""
        late = self.late if self.complaints else ()
        return Query(
            self.network,
            self.observed,
            candidates=self.candidates,
            ending=self.complaints,
            late=late,
        )

    @cached_property
    def before(self) -> Query:
        """The evidence compiled as it is."""
        return Query(self.network, self.observed, candidates=self.candidates)

    def of_each(self, asked: Sequence[Asked]) -> list[tuple[float, tuple[float, ...]]]:
        """P(evidence and answer) here, and W of each set of repairs then, for several answers."""
        expander = Expander(self.before)
        rows: dict[Row, int] = {}
        sets: dict[frozenset[str], int] = {}
        pairs: dict[tuple[int, int], int] = {}
        plans = []
        for each in asked:
            columns = [sets.setdefault(s, len(sets)) for s in each.sets]
            tipped = [(Row(r.limits, r.roots, each.tip), c) for r, c in expander.rows(each.terms)]
            terms = [(rows.setdefault(row, len(rows)), c) for row, c in tipped]
            crossed = product([row for row, _ in terms], columns)
            grid = [pairs.setdefault(pair, len(pairs)) for pair in crossed]
            plans.append((terms, np.array(grid, np.intp).reshape(len(terms), len(columns))))
        self.query.refuse(self.query.plan.work * len(pairs), self.most)
        weights = self.before.weigh(list(rows))
        done = [self._done(repairs) for repairs in sets]
        ended = self.query.weigh_crossed(list(rows), done, list(pairs))
        return [self._share(weights, ended, terms, grid) for terms, grid in plans]

    @staticmethod
    def _share(
        weights: Array,
        ended: Array,
        terms: Sequence[tuple[int, float]],
        grid: npt.NDArray[np.intp],
    ) -> tuple[float, tuple[float, ...]]:
        """P(evidence and answer), and W of each set, from sums over the terms."""
        coefficients = np.array([coefficient for _, coefficient in terms])
        weight = float(coefficients @ weights[np.array([row for row, _ in terms], np.intp)])
        total = coefficients @ ended[grid]
        share = total / weight if weight > 0.0 else total * 0.0
        return max(weight, 0.0), tuple(np.clip(share, 0.0, 1.0).tolist())

    def _done(self, repairs: frozenset[str]) -> Row:
        """The row with repairs done; with nothing told wrong, all other causes absent."""
        mended = frozenset(c for r in repairs for c in self.subject.mended_by[r])
        if self.complaints:
            return Row(mended=mended)
        return Row(absent=tuple(self._causes - mended))

    @cached_property
    def _causes(self) -> frozenset[int]:
        return frozenset(self.subject.causes.values())
