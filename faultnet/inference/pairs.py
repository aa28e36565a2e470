"""Every two variables together, out of one calibrated tree.

Each of some variables (the rows, a row per state) is carried outward from the clique
nearest the root that holds it, as its chances given what two neighbours share; where
such a message comes in, it is read off against whatever is new there.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import prod

import numpy as np

from faultnet.inference.carry import Carry
from faultnet.inference.marginals import Marginals
from faultnet.inference.messages import Calibrated
from faultnet.inference.tree_layout import Laid
from faultnet.network.tables import Array

Span = tuple[int, int]


@dataclass
class _Edge:
    """What is read of a clique per state of what it shares with one neighbour."""

    read: Marginals
    turn: tuple[int, ...] | None
    """Axes with the shared ones first; None where they stand so already."""
    asked: list[tuple[slice, slice]] = field(default_factory=list)
    """Columns read, and where they go among all that is asked."""
    own: list[tuple[slice | None, Span, Array | None]] = field(default_factory=list)
    """Columns of the clique's own rows, or what they are where they are shared."""
    carries: dict[int, tuple[slice | None, Carry]] = field(default_factory=dict)
    """By neighbour (-1 is the parent), how its messages go on over this edge."""


@dataclass(frozen=True)
class _Pair:
    """A row and a column in one clique: where they are read, and where they go."""

    at: slice
    rows: Span
    columns: slice
    row_first: bool
    same: bool


@dataclass(frozen=True)
class _Here:
    """The pairs of one clique."""

    read: Marginals
    pairs: list[_Pair]


class Pairs:
    """Prepares the pairs of rows and columns, variables with their places in either."""

    def __init__(
        self,
        tree: Sequence[Laid],
        sizes: Sequence[int],
        rows: Mapping[int, Span],
        columns: Mapping[int, slice],
    ) -> None:
        """``rows`` must stand in the order of the cliques nearest the root (``row_order``)."""
        self.tree, self.sizes, self.columns = tree, sizes, columns
        self.rows: list[list[tuple[int, Span]]] = [[] for _ in tree]
        seen: set[int] = set()
        for k, laid in enumerate(tree):
            self.rows[k] = [(v, rows[v]) for v in laid.axes if v in rows and v not in seen]
            seen |= {v for v, _ in self.rows[k]}
        self.count = sum(high - low for low, high in rows.values())
        self.spans = self._spans()
        self.up = [self._edge(k, k) if k else None for k in range(len(tree))]
        self.down = [self._edge(laid.parent, k) if k else None for k, laid in enumerate(tree)]
        self.here = [self._here(k) if self.rows[k] else None for k in range(len(tree))]

    def __call__(self, found: Calibrated, result: Array) -> None:
        """Write P(column and row | evidence) into ``result``, shape (columns, rows)."""
        read = [self._read(edge, found, k) for k, edge in enumerate(self.up)]
        below = self._upward(found, read)
        above: list[Array | None] = [None] * len(self.tree)
        for k, here in enumerate(self.here):
            if here is not None:
                self._read_here(here, found, k, result)
            for child in self.tree[k].children:
                above[child] = self._downward(found, k, child, below, above[k], result)
                self._read_above(child, read[child], above[child], result)

    def _upward(self, found: Calibrated, read: list[Array | None]) -> list[Array | None]:
        """Return, per clique, the chances of the rows below given what it shares above."""
        below: list[Array | None] = [None] * len(self.tree)
        for k in range(len(self.tree) - 1, 0, -1):
            edge, sums, sep = self.up[k], read[k], found.seps[k]
            low, high = self.spans[k]
            if edge is None or sums is None or sep is None or low == high:
                continue
            given = sums / sep
            whole = np.empty((len(given), high - low))
            for at, (first, last), _ in edge.own:
                whole[:, first - low : last - low] = given[:, at]
            for child, (part, carry) in edge.carries.items():
                first, last = self.spans[child]
                chances = below[child]
                assert chances is not None
                whole[:, first - low : last - low] = carry(
                    given[:, part] if part else given, chances
                )
            below[k] = whole
        return below

    def _downward(
        self,
        found: Calibrated,
        k: int,
        child: int,
        below: list[Array | None],
        above: Array | None,
        result: Array,
    ) -> Array | None:
        """Return the chances of all rows given what a child shares; read its own off here."""
        edge, sep = self.down[child], found.seps[child]
        assert edge is not None
        assert sep is not None
        low, high = self.spans[child]
        sums = self._read(edge, found, k)
        if sums is None:
            return None
        chances = below[child]
        if chances is not None:
            for at, where in edge.asked:
                result[where, low:high] = sums[:, at].T @ chances
        if high - low == self.count:
            return None
        given = sums / sep
        whole = np.zeros((len(given), self.count))
        for neighbour, (part, carry) in edge.carries.items():
            lost = given[:, part] if part else given
            if neighbour < 0:
                if above is not None:
                    whole[...] = carry(lost, above)
                continue
            first, last = self.spans[neighbour]
            chances = below[neighbour]
            assert chances is not None
            whole[:, first:last] = carry(lost, chances)
        for place, (first, last), known in edge.own:
            whole[:, first:last] = given[:, place] if known is None else known
        return whole

    def _read_above(self, k: int, sums: Array | None, above: Array | None, result: Array) -> None:
        """Read off what is new in a clique against the rows that are not below it."""
        edge = self.up[k]
        if above is None or sums is None or edge is None:
            return
        low, high = self.spans[k]
        for at, where in edge.asked:
            joint = sums[:, at].T @ above
            result[where, :low] = joint[:, :low]
            result[where, high:] = joint[:, high:]

    @staticmethod
    def _read(edge: _Edge | None, found: Calibrated, k: int) -> Array | None:
        if edge is None or not edge.read.count:
            return None if edge is None or not (edge.own or edge.carries) else np.empty((1, 0))
        if edge.turn is None:
            table = found.cliques[k]
            assert table is not None
            return edge.read(table)
        return edge.read(found.clique(k).transpose(edge.turn).reshape(-1, prod(edge.read.shape)))

    def _spans(self) -> list[Span]:
        """The rows that enter at a clique or below it; they stand side by side."""
        spans = [(r[0][1][0], r[-1][1][1]) if r else (0, 0) for r in self.rows]
        for k in range(len(self.tree) - 1, 0, -1):
            parent = self.tree[k].parent
            spans[parent] = _both(spans[parent], spans[k])
        return spans

    def _edge(self, k: int, child: int) -> _Edge:
        """Prepare what is read of clique ``k`` per state of what ``child`` shares above."""
        laid, shared = self.tree[k], self.tree[child].sep
        rest = [v for v in laid.axes if v not in shared]
        groups: dict[tuple[int, ...], None] = {}
        asked = [v for v in rest if v in self.columns]
        groups |= dict.fromkeys((v,) for v in asked)
        own = [(v, span) for v, span in self.rows[k]]
        groups |= dict.fromkeys((v,) for v, _ in own if v in rest)
        # The parent comes first: what it tells of the rows below is written over.
        seps = {-1: laid.sep} if k != child and k else {}
        seps |= {c: self.tree[c].sep for c in laid.children if c != child and self._enters(c)}
        lost = {n: tuple(v for v in sep if v in rest) for n, sep in seps.items()}
        groups |= dict.fromkeys(part for part in lost.values() if part)
        place = {v: n for n, v in enumerate(rest)}
        read = Marginals(
            prod(self.sizes[v] for v in shared),
            [self.sizes[v] for v in rest],
            [tuple(place[v] for v in group) for group in groups],
        )
        at = dict(zip(groups, read.at, strict=True))
        turn = tuple(laid.axes.index(v) for v in (*shared, *rest))
        edge = _Edge(read, None if k == child else turn)
        edge.asked = [(at[v,], self.columns[v]) for v in asked]
        for v, span in own:
            known = None if v in rest else _states_of(v, shared, self.sizes)
            edge.own.append((at.get((v,)), span, known))
        for n, sep in seps.items():
            edge.carries[n] = (at.get(lost[n]), Carry(sep, shared, self.sizes))
        return edge

    def _enters(self, k: int) -> bool:
        return self.spans[k][0] < self.spans[k][1]

    def _here(self, k: int) -> "_Here":
        """Prepare the pairs of rows and columns that lie in one clique."""
        laid = self.tree[k]
        place = {v: n for n, v in enumerate(laid.axes)}
        pairs = [
            (row, column, span)
            for row, span in self.rows[k]
            for column in laid.axes
            if column in self.columns
        ]
        groups = {tuple(sorted({place[row], place[column]})): None for row, column, _ in pairs}
        read = Marginals(1, laid.shape, list(groups))
        at = dict(zip(groups, read.at, strict=True))
        return _Here(
            read,
            [
                _Pair(
                    at[tuple(sorted({place[row], place[column]}))],
                    span,
                    self.columns[column],
                    row_first=place[row] < place[column],
                    same=row == column,
                )
                for row, column, span in pairs
            ],
        )

    @staticmethod
    def _read_here(here: "_Here", found: Calibrated, k: int, result: Array) -> None:
        sums = here.read(found.clique(k).reshape(1, -1))[0]
        for pair in here.pairs:
            low, high = pair.rows
            values = sums[pair.at]
            if pair.same:
                result[pair.columns, low:high] = np.diag(values)
            elif pair.row_first:
                result[pair.columns, low:high] = values.reshape(high - low, -1).T
            else:
                result[pair.columns, low:high] = values.reshape(-1, high - low)


def row_order(tree: Sequence[Laid], variables: Sequence[int]) -> list[int]:
    """Return variables in the order of the cliques nearest the root that hold them."""
    wanted = set(variables)
    found = dict.fromkeys(v for laid in tree for v in laid.axes if v in wanted)
    return list(found)


def _both(one: Span, other: Span) -> Span:
    if one[0] == one[1] or other[0] == other[1]:
        return other if one[0] == one[1] else one
    return min(one[0], other[0]), max(one[1], other[1])


def _states_of(variable: int, shared: Sequence[int], sizes: Sequence[int]) -> Array:
    """One where a variable among others is in a state, else zero; (their cells, states)."""
    shape = [sizes[v] for v in shared]
    places = np.indices(shape).reshape(len(shape), -1)[list(shared).index(variable)]
    return np.asarray(np.eye(sizes[variable])[places])
