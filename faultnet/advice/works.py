"""W(S): the chance that mending a set of causes ends the trouble.

The trouble has ended when no finding told as wrong, and none that it follows from,
is still produced by a cause outside the set or by its leak. With nothing told as
wrong, it has ended when no cause outside the set is present.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from faultnet.advice.subject import Subject
from faultnet.inference.downsets import Expander, Terms
from faultnet.inference.observed import Observed
from faultnet.inference.query import Query
from faultnet.inference.rows import Row
from faultnet.network.network import Network


@dataclass(frozen=True)
class Works:
    """Weighs sets of repairs for evidence and hypothetical answers.

    ``repairs`` are the repairs that can be weighed; ``candidates`` the findings that
    hypothetical answers may be about. ``network`` is the subject's, or one in which
    unknown roots are averaged out.
    """

    subject: Subject
    network: Network
    observed: Observed
    repairs: tuple[str, ...]
    candidates: tuple[int, ...]

    @cached_property
    def complaints(self) -> tuple[int, ...]:
        """Findings answered as wrong in the open round that a repair should end.

        Stories do not end by a repair, nor does what no cause makes (somebody in the
        cistern).
        """
        told = []
        for (finding, round_), likelihood in self.observed.findings.items():
            if round_ != self.observed.now:
                continue
            entry = self.subject.network.findings[finding]
            history = self.subject.knowledge.findings[entry.id].history
            wrong = max(likelihood[1 : len(entry.answers)], default=0.0) > likelihood[0]
            if wrong and not history and (entry.links or entry.follows):
                told.append(finding)
        return tuple(told)

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

    def of(self, terms: Terms, sets: Sequence[frozenset[str]]) -> tuple[float, ...]:
        """W of each set of repairs, given the evidence and a hypothetical answer."""
        return self.of_each([(terms, sets)])[0][1]

    def of_each(
        self, asked: Sequence[tuple[Terms, Sequence[frozenset[str]]]]
    ) -> list[tuple[float, tuple[float, ...]]]:
        """The same for several answers in one sweep, with P(evidence and answer) here."""
        expander = Expander(self.before)
        rows = [expander.rows(terms) for terms, _ in asked]
        weights = iter(self.before.weigh([row for some in rows for row, _ in some]))
        ended = iter(
            self.query.weigh(
                [
                    self._row(row, s)
                    for some, (_, sets) in zip(rows, asked, strict=True)
                    for row, _ in some
                    for s in sets
                ]
            )
        )
        results = []
        for some, (_, sets) in zip(rows, asked, strict=True):
            weight, total = 0.0, np.zeros(len(sets))
            for _, coefficient in some:
                weight += coefficient * next(weights)
                total += coefficient * np.array([next(ended) for _ in sets])
            share = total / weight if weight > 0.0 else total * 0.0
            values = tuple(float(x) for x in np.clip(share, 0.0, 1.0))
            results.append((max(weight, 0.0), values))
        return results

    def _row(self, row: Row, repairs: frozenset[str]) -> Row:
        """The row with repairs done; with nothing told wrong, all other causes absent."""
        mended, others = self._causes(repairs)
        if self.complaints:
            return Row(row.limits, row.roots, mended=mended)
        return Row(row.limits, row.roots, others)

    def _causes(self, repairs: frozenset[str]) -> tuple[frozenset[int], tuple[int, ...]]:
        """The causes that repairs mend, and all others."""
        known = self._kept.get(repairs)
        if known is None:
            mended = frozenset(c for r in repairs for c in self.subject.mended_by[r])
            others = tuple(c for c in self.subject.causes.values() if c not in mended)
            known = self._kept[repairs] = mended, others
        return known

    @cached_property
    def _kept(self) -> dict[frozenset[str], tuple[frozenset[int], tuple[int, ...]]]:
        """Causes by set of repairs, as asked for so far."""
        return {}
