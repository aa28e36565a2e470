"""What a clique tree is asked, made ready once per pattern of evidence and kept."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import inf, log

import numpy as np
import numpy.typing as npt

from faultnet.inference.cliques import Clique
from faultnet.inference.families import Families
from faultnet.inference.marginals import Marginals
from faultnet.inference.messages import Calibrated
from faultnet.inference.pairs import Pairs, row_order
from faultnet.inference.tree_layout import Forest, find_forest, forest_cells, lay_out
from faultnet.network.tables import Array

Found = list[list[tuple[Clique, int]]]
Places = npt.NDArray[np.intp]

ROW_CELLS = 2**22
"""Cells of the messages with rows that are held at a time; 2**22 doubles are 32 MiB."""
STEP_CELLS = 2**15
"""What a clique costs beside its cells, in cells times rows."""


@dataclass(frozen=True)
class Pattern:
    """Which variables are observed, and which have only a likelihood."""

    hard: frozenset[int]
    soft: frozenset[int]


@dataclass(frozen=True)
class Known:
    """Evidence on a pattern: states of the observed, likelihoods of the others."""

    pattern: Pattern
    states: dict[int, int]
    likelihoods: dict[int, Array]
    scale: float = 0.0
    """Logarithm of what the likelihoods of observed states come to."""


class Marginal:
    """P(evidence), and the chances of some variables that have no hard evidence."""

    def __init__(
        self, families: Families, asked: Sequence[int], pattern: Pattern, found: Found
    ) -> None:
        """Lay out the trees; every variable is read off the clique nearest the root."""
        self.families = families
        self.forest = forest_of(families, asked, pattern, found)
        self.at = slices_of(families, dict.fromkeys(asked))
        self.count = _end(self.at)
        self.read: list[list[tuple[int, Marginals, Places]]] = [[] for _ in found]
        homes: dict[tuple[int, int], list[int]] = {}
        for variable in self.at:
            homes.setdefault(self.forest.home[variable], []).append(variable)
        for (t, k), variables in homes.items():
            laid = self.forest.trees[t][k]
            groups = [(laid.axes.index(v),) for v in variables]
            read = Marginals(1, laid.shape, groups)
            self.read[t].append((k, read, places_of(self.at, variables)))

    def __call__(self, known: Known) -> tuple[float, list[Calibrated], Array]:
        """Return log P(evidence), the trees calibrated as far as asked, and the chances.

        The chances of all states stand side by side, those of a variable at ``at``.
        """
        weight, trees = self._calibrated(known)
        chances = np.empty(self.count)
        if weight > -inf:
            for tree, reads in zip(trees, self.read, strict=True):
                for k, read, places in reads:
                    chances[places] = read(tree.clique(k).reshape(1, -1))[0]
        return weight, trees, chances

    def _calibrated(self, known: Known) -> tuple[float, list[Calibrated]]:
        weight = known.scale
        for cut in self.forest.numbers:
            chance = float(cut.taken(self.families.tables[cut.variable], known.states))
            weight += log(chance) if chance > 0.0 else -inf
        trees = []
        for tree, reads in zip(self.forest.trees, self.read, strict=True):
            if weight == -inf:
                break
            wanted = self._wanted(reads)
            found = Calibrated(self.families, tree, known.states, known.likelihoods, wanted)
            weight += found.weight
            trees.append(found)
        return weight, trees

    def _wanted(self, reads: list[tuple[int, Marginals, Places]]) -> Collection[int] | None:
        return [k for k, _, _ in reads]


class Joint(Marginal):
    """Besides, the chances of each of some variables together with each of others."""

    def __init__(
        self,
        families: Families,
        rows: Sequence[int],
        columns: Sequence[int],
        pattern: Pattern,
        found: Found,
    ) -> None:
        """Rows are carried through the trees; columns are read off."""
        super().__init__(families, [*rows, *columns], pattern, found)
        self.rows, self.columns = slices_of(families, rows), slices_of(families, columns)
        self.row_places = places_of(self.at, rows)
        self.column_places = places_of(self.at, columns)
        self.pairs = [list(self._pairs(t)) for t in range(len(self.forest.trees))]

    def together(self, trees: Sequence[Calibrated], chances: Array) -> Array:
        """Return the chances of columns with rows, out of what the question came to."""
        # What no tree joins is independent.
        result = np.outer(chances[self.column_places], chances[self.row_places])
        for tree, pairs in zip(trees, self.pairs, strict=True):
            for take, where, part in pairs:
                take(tree, part)
                result[where] = part
        return result

    def _wanted(self, reads: list[tuple[int, Marginals, Places]]) -> Collection[int] | None:
        return None if reads else ()

    def _pairs(self, t: int) -> Iterator[tuple[Pairs, tuple[Places, ...], Array]]:
        """Prepare the rows of a tree, so many at a time that their messages fit."""
        tree, sizes = self.forest.trees[t], self.families.sizes
        here = [v for v in self.columns if self.forest.home[v][0] == t]
        rows = row_order(tree, list(self.rows))
        if not here or not rows:
            return
        columns = slices_of(self.families, here)
        fits = max(1, ROW_CELLS // sum(laid.shared for laid in tree))
        while rows:
            count = 0
            some: list[int] = []
            while rows and (not some or count + sizes[rows[0]] <= fits):
                some.append(rows.pop(0))
                count += sizes[some[-1]]
            spans = slices_of(self.families, some)
            take = Pairs(tree, sizes, {v: (s.start, s.stop) for v, s in spans.items()}, columns)
            where = np.ix_(places_of(self.columns, here), places_of(self.rows, some))
            yield take, where, np.zeros((_end(columns), count))


def groups_of(
    families: Families, rows: Sequence[int], columns: Sequence[int], pattern: Pattern
) -> list[tuple[list[int], Found]]:
    """Return the columns in groups, each with the cliques that it needs.

    Variables that few columns depend on are barren to the others. Columns are halved,
    again and again, as long as two halves cost less than the whole.
    """
    count = sum(families.sizes[v] for v in rows)

    def found(part: Sequence[int], *, roughly: bool = True) -> Found:
        asked = (*rows, *part)
        return find_forest(families, asked, pattern.hard, pattern.soft, roughly=roughly)

    def cost(trees: Found) -> int:
        return forest_cells(families, trees) * count + STEP_CELLS * sum(map(len, trees))

    def split(part: list[int], trees: Found) -> list[tuple[list[int], Found]]:
        if len(part) < 2:
            return [(part, trees)]
        halves = (part[: len(part) // 2], part[len(part) // 2 :])
        whole = cost(trees)
        if whole < 4 * STEP_CELLS * sum(map(len, trees)):
            return [(part, trees)]
        parts = [each for half in halves for each in split(half, found(half))]
        return parts if sum(cost(each) for _, each in parts) < whole else [(part, trees)]

    free = families.with_ancestors({*rows, *pattern.hard, *pattern.soft})
    order = sorted(columns, key=lambda v: (v not in free, v))
    parts = split(order, found(order))
    return [(part, found(part, roughly=False)) for part, _ in parts]


def forest_of(families: Families, asked: Iterable[int], pattern: Pattern, found: Found) -> Forest:
    """Return the cliques of a question laid out."""
    relevant = families.with_ancestors({*asked, *pattern.hard, *pattern.soft})
    return lay_out(families, found, relevant, pattern.hard, sorted(pattern.soft))


def slices_of(families: Families, variables: Iterable[int]) -> dict[int, slice]:
    """Return where the states of each variable stand when all stand side by side."""
    slices: dict[int, slice] = {}
    start = 0
    for variable in variables:
        end = start + families.sizes[variable]
        slices[variable] = slice(start, end)
        start = end
    return slices


def places_of(among: Mapping[int, slice], variables: Iterable[int]) -> Places:
    """Return where the states of variables stand, one after the other."""
    spans = [np.arange(among[v].start, among[v].stop) for v in variables]
    return np.concatenate([np.empty(0, dtype=np.intp), *spans])


def _end(slices: dict[int, slice]) -> int:
    return max((s.stop for s in slices.values()), default=0)
