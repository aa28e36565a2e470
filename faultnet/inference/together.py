"""Targets after every answer of every candidate, in one table."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import inf

import numpy as np

from faultnet.inference.engine import ImpossibleEvidenceError
from faultnet.inference.families import Families
from faultnet.inference.questions import (
    Found,
    Joint,
    Known,
    Marginal,
    Pattern,
    Places,
    groups_of,
    places_of,
    slices_of,
)
from faultnet.inference.tree_layout import find_forest


@dataclass(frozen=True)
class Both:
    """Chances of the targets' states before, of the answers, and of the states after each.

    ``rows`` says which candidate stands where; the targets stand as they were asked for.
    """

    rows: dict[int, slice]
    before: list[float]
    chances: list[float]
    after: list[list[float]]


@dataclass(frozen=True)
class _Part:
    """A question, and where what it tells stands in the whole, and where in the question.

    ``turned`` where its rows are the candidates, not the targets.
    """

    question: Marginal
    rows: tuple[Places, Places]
    columns: tuple[Places, Places]
    turned: bool


class Together:
    """What is asked in turn; a row is an answer of a candidate, a column a target's state."""

    def __init__(
        self,
        families: Families,
        targets: Sequence[int],
        candidates: Sequence[int],
        pattern: Pattern,
        refuse: Callable[[Found], None],
    ) -> None:
        """Lay out the questions; ``refuse`` raises for one that is too large."""
        self.rows = slices_of(families, candidates)
        self.columns = slices_of(families, targets)
        self.shape = tuple(sum(families.sizes[v] for v in part) for part in (candidates, targets))
        self.observed = [(v, self.rows.get(v), self.columns.get(v)) for v in pattern.hard]
        first = [v for v in candidates if v not in pattern.hard]
        second = [v for v in targets if v not in pattern.hard]
        self.parts: list[_Part] = []
        if not first or not second:
            asked = [*first, *second]
            found = find_forest(families, asked, pattern.hard, pattern.soft)
            refuse(found)
            self._add(Marginal(families, asked, pattern, found), first, second)
            return
        # Rows are carried through the trees, so they are whichever have fewer states.
        sizes = [sum(families.sizes[v] for v in part) for part in (first, second)]
        turned = sizes[0] < sizes[1]
        carried, read = (first, second) if turned else (second, first)
        groups = groups_of(families, carried, read, pattern)
        for _, found in groups:
            refuse(found)
        for group, found in groups:
            joint = Joint(families, carried, group, pattern, found)
            self._add(joint, *((carried, group) if turned else (group, carried)), turned=turned)

    def __call__(self, known: Known) -> Both:
        """Return the chances; raise ``ImpossibleEvidenceError``."""
        rows, columns = np.zeros(self.shape[0]), np.zeros(self.shape[1])
        for variable, row, column in self.observed:
            for chances, span in ((rows, row), (columns, column)):
                if span is not None:
                    chances[span.start + known.states[variable]] = 1.0
        blocks = []
        for part in self.parts:
            weight, trees, told = part.question(known)
            if weight == -inf:
                raise ImpossibleEvidenceError
            rows[part.rows[0]] = told[part.rows[1]]
            columns[part.columns[0]] = told[part.columns[1]]
            if isinstance(part.question, Joint):
                block = part.question.together(trees, told)
                blocks.append((part, block.T if part.turned else block))
        # What no table joins is independent, and so is what is observed.
        table = np.outer(rows, columns)
        for part, block in blocks:
            table[part.rows[0][:, None], part.columns[0]] = block
        table /= (rows + (rows == 0.0))[:, None]
        return Both(self.rows, columns.tolist(), rows.tolist(), table.tolist())

    def _add(
        self,
        question: Marginal,
        first: Sequence[int],
        second: Sequence[int],
        *,
        turned: bool = False,
    ) -> None:
        at: Mapping[int, slice] = question.at
        rows = places_of(self.rows, first), places_of(at, first)
        columns = places_of(self.columns, second), places_of(at, second)
        self.parts.append(_Part(question, rows, columns, turned))
