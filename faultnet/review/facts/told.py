"""What each answer says about each cause, on a call of which nothing else is known."""

from collections.abc import Iterable
from functools import cached_property

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.advice.observe import said
from faultnet.advice.subject import Subject
from faultnet.inference.downsets import ALWAYS
from faultnet.inference.what_ifs import RowMasses
from faultnet.model.evidence import Answer
from faultnet.review.facts.sweeping import Sweeping, shares

Array = npt.NDArray[np.float64]
Pair = tuple[str, str]


class Told(msgspec.Struct, frozen=True, dict=True):
    """Exact chances on a trouble call in one system; causes in network order.

    Every member raises ``TooLargeError``.
    """

    subject: Subject

    @cached_property
    def causes(self) -> Array:
        """P(cause), come of itself."""
        return np.asarray(self.sweeping.weigh([ALWAYS]).causes[0])

    @cached_property
    def often(self) -> dict[str, float]:
        """P(any answer but the normal one) by finding."""
        return dict(zip(self.subject.findings, self._abnormal.totals.tolist(), strict=True))

    def after(self, finding: str) -> Array:
        """Return P(cause | finding abnormal); zeros where it cannot be."""
        k = self.subject.findings[finding]
        return shares(self._abnormal.causes[k], self._abnormal.totals[k])

    def after_word(self, finding: str, speaker: str) -> dict[str, Array]:
        """Return P(cause | said) for each answer that a speaker may give."""
        entry, first = self.subject.knowledge.findings[finding], self._first[finding]
        part = slice(first, first + len(entry.all_answers))
        result = {}
        for answer in entry.all_answers:
            weights = np.array(said(self.subject, Answer(finding, answer, speaker)))
            total = float(weights @ self._each.totals[part])
            result[answer] = shares(weights @ self._each.causes[part], total)
        return result

    def after_root(self, root: str) -> dict[str, Array]:
        """Return P(cause | state) for each state of a layout or circumstance."""
        return self._roots[root]

    def of_pairs(self, pairs: Iterable[Pair]) -> tuple[Array, Array]:
        """Return P(both findings abnormal) by pair, and P(cause | both) by pair and cause."""
        index, sweeping = self.subject.findings, self.sweeping
        terms = [
            sweeping.expander.joint(sweeping.abnormal(index[finding]) for finding in pair)
            for pair in pairs
        ]
        masses = sweeping.weigh(terms)
        return masses.totals, shares(masses.causes, masses.totals[:, None])

    @cached_property
    def sweeping(self) -> Sweeping:
        """The sweep over the network of a call."""
        return Sweeping(self.subject.network)

    @cached_property
    def _abnormal(self) -> RowMasses:
        """Every answer but the normal one and ``cannot`` together, by finding."""
        known = self.subject.knowledge.findings
        parts = [
            slice(first + 1, first + len(known[finding].answers))
            for finding, first in self._first.items()
        ]
        return RowMasses(
            np.array([self._each.totals[part].sum() for part in parts]),
            np.array([self._each.causes[part].sum(axis=0) for part in parts]),
        )

    @cached_property
    def _roots(self) -> dict[str, dict[str, Array]]:
        roots, expander = self.subject.network.roots, self.sweeping.expander
        states = [(k, state) for k, root in enumerate(roots) for state in range(len(root.states))]
        masses = self.sweeping.weigh([expander.root(*each) for each in states])
        chances = iter(shares(masses.causes, masses.totals[:, None]))
        return {root.id: {state: next(chances) for state in root.states} for root in roots}

    @cached_property
    def _first(self) -> dict[str, int]:
        """Where the answers of each finding begin among those of all."""
        known = self.subject.knowledge.findings
        counts = [len(known[finding].all_answers) for finding in self.subject.findings]
        starts = np.cumsum([0, *counts])[:-1].tolist()
        return dict(zip(self.subject.findings, starts, strict=True))

    @cached_property
    def _each(self) -> RowMasses:
        """Every answer of every finding."""
        known, expander = self.subject.knowledge.findings, self.sweeping.expander
        return self.sweeping.weigh(
            [
                expander.answer(k, answer)
                for f, k in self.subject.findings.items()
                for answer in range(len(known[f].all_answers))
            ]
        )
