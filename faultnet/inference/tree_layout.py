"""Clique trees for one pattern of evidence, laid out so that little is left to compute.

The axes of a clique stand with those that it shares with its parent first, in the
parent's order; so a message is a sum over the last axes, and goes into the parent's
array without being turned. Observed variables have no axes: their tables are cut where
the evidence lies before anything is joined.
"""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np

from faultnet.inference.cliques import (
    Clique,
    cells,
    find_cliques,
    join_cliques,
    least_cliques,
    merged,
)
from faultnet.inference.families import Families
from faultnet.network.tables import Array

RARELY = 4
"""Pieces of evidence between two messages that are scaled."""


@dataclass(frozen=True)
class Cut:
    """A table with observed variables: where it is cut, and how the rest is turned.

    ``observed`` holds (axis, variable); ``turned`` the order of the other axes, and
    ``shape`` what they are in the array of their clique.
    """

    variable: int
    observed: tuple[tuple[int, int], ...]
    turned: tuple[int, ...]
    shape: tuple[int, ...]

    def taken(self, table: Array, states: dict[int, int]) -> Array:
        """Return the table where the observed variables are in their states."""
        at: list[slice | int] = [slice(None)] * table.ndim
        for axis, variable in self.observed:
            at[axis] = states[variable]
        return table[tuple(at)].transpose(self.turned).reshape(self.shape)


@dataclass
class Laid:
    """One clique: ``shared`` cells with its parent by ``rest`` others.

    ``into`` is the shape of its message in the parent's array, ``out`` the axes of the
    parent's array that it does not share.
    """

    axes: tuple[int, ...]
    shape: tuple[int, ...]
    parent: int
    shared_axes: int
    shared: int
    rest: int
    into: tuple[int, ...]
    out: tuple[int, ...]
    ones: Array
    children: list[int] = field(default_factory=list)
    constant: Array | None = None
    cuts: list[Cut] = field(default_factory=list)
    soft: list[tuple[int, tuple[int, ...]]] = field(default_factory=list)
    scaled: bool = False

    @property
    def sep(self) -> tuple[int, ...]:
        """The variables shared with the parent."""
        return self.axes[: self.shared_axes]


@dataclass
class Forest:
    """Trees for one pattern, and the tables that the evidence leaves as mere numbers."""

    trees: list[list[Laid]]
    numbers: list[Cut]
    home: dict[int, tuple[int, int]]
    """Variable to (tree, clique nearest the root that holds it)."""


def find_forest(
    families: Families,
    asked: Iterable[int],
    hard: Collection[int],
    soft: Collection[int],
    *,
    roughly: bool = False,
) -> list[list[tuple[Clique, int]]]:
    """Return the cliques that a question needs; nothing large is made yet.

    ``roughly`` is content with the first that come out.
    """
    relevant = families.with_ancestors({*asked, *hard, *soft})
    scopes = [[u for u in families.family(v) if u not in hard] for v in sorted(relevant)]
    sizes = families.sizes
    cliques = (find_cliques if roughly else least_cliques)(scopes, sizes)
    trees = join_cliques(cliques, sizes)
    return join_cliques(merged(trees, sizes), sizes)


def forest_cells(families: Families, trees: Iterable[Sequence[tuple[Clique, int]]]) -> int:
    """Return the cells of all cliques."""
    sizes = families.sizes
    return sum(cells(clique, sizes) for tree in trees for clique, _ in tree)


def lay_out(
    families: Families,
    found: Sequence[Sequence[tuple[Clique, int]]],
    relevant: Iterable[int],
    hard: Collection[int],
    soft: Iterable[int],
) -> Forest:
    """Give every clique its axes, and every table its clique."""
    sizes = families.sizes
    trees = [_tree(tree, sizes) for tree in found]
    home: dict[int, tuple[int, int]] = {}
    holding: dict[int, list[tuple[int, int]]] = {}
    for t, tree in enumerate(trees):
        for k, laid in enumerate(tree):
            for variable in laid.axes:
                home.setdefault(variable, (t, k))
                holding.setdefault(variable, []).append((t, k))
    forest = Forest(trees, [], home)
    for variable in sorted(relevant):
        _place(families, forest, holding, variable, hard)
    for variable in soft:
        t, k = home[variable]
        shape = tuple(sizes[v] if v == variable else 1 for v in trees[t][k].axes)
        trees[t][k].soft.append((variable, shape))
    for tree in trees:
        _mark_scaled(tree)
    return forest


def _tree(order: Sequence[tuple[Clique, int]], sizes: Sequence[int]) -> list[Laid]:
    tree: list[Laid] = []
    for place, (clique, parent) in enumerate(order):
        above = tree[parent].axes if place else ()
        sep = tuple(v for v in above if v in clique)
        axes = (*sep, *sorted(clique - set(sep)))
        rest = cells(axes[len(sep) :], sizes)
        tree.append(
            Laid(
                axes,
                tuple(sizes[v] for v in axes),
                parent,
                len(sep),
                cells(sep, sizes),
                rest,
                tuple(sizes[v] if v in clique else 1 for v in above),
                tuple(k for k, v in enumerate(above) if v not in clique),
                np.ones(rest),
            )
        )
        if place:
            tree[parent].children.append(place)
    return tree


def _place(
    families: Families,
    forest: Forest,
    holding: dict[int, list[tuple[int, int]]],
    variable: int,
    hard: Collection[int],
) -> None:
    """Multiply a table into the smallest clique that holds it, or remember its cut."""
    family = families.family(variable)
    free = [v for v in family if v not in hard]
    observed = tuple((axis, v) for axis, v in enumerate(family) if v in hard)
    if not free:
        forest.numbers.append(Cut(variable, observed, (), ()))
        return
    whole = set(free)
    fits = [(t, k) for t, k in holding[free[0]] if whole <= set(forest.trees[t][k].axes)]
    t, k = min(fits, key=lambda at: len(forest.trees[at[0]][at[1]].axes))
    laid = forest.trees[t][k]
    turned = tuple(free.index(v) for v in laid.axes if v in whole)
    shape = tuple(n if v in whole else 1 for v, n in zip(laid.axes, laid.shape, strict=True))
    if observed:
        laid.cuts.append(Cut(variable, observed, turned, shape))
        return
    table = families.tables[variable].transpose(turned).reshape(shape)
    laid.constant = table if laid.constant is None else laid.constant * table


def _mark_scaled(tree: Sequence[Laid]) -> None:
    """Mark the messages that are scaled: one for every few pieces of evidence."""
    waiting = [len(laid.cuts) + len(laid.soft) for laid in tree]
    for k in range(len(tree) - 1, 0, -1):
        laid = tree[k]
        laid.scaled = waiting[k] >= RARELY
        waiting[laid.parent] += 0 if laid.scaled else waiting[k]
    for laid in tree:
        constant = np.ones(()) if laid.constant is None else laid.constant
        laid.constant = np.ascontiguousarray(np.broadcast_to(constant, laid.shape))
