"""Cliques of a network of tables, joined into trees; counted before anything is computed.

Variables are numbers here. Every variable is linked to all that share a table with it;
taking the variables away one by one, each time one that needs fewest links added among
its neighbours (min-fill), gives cliques that can be joined into trees in which each
variable sits on one connected piece. Of several that need as few, one is taken that makes
the smallest clique, or, where that comes out large, one drawn by lot a few times over.
"""

from collections.abc import Iterable, Mapping, Sequence
from itertools import combinations
from math import prod
from random import Random
from typing import TypeAlias

Clique: TypeAlias = frozenset[int]
Sizes: TypeAlias = Mapping[int, int] | Sequence[int]

TINY = 512
"""Neighbours are made one clique up to so many cells: a step costs as much as they do."""
ENOUGH = 2**12
"""Cells that are not worth a further try."""
TRIES = 24
"""Tries at most, and fewer where there are many variables."""
TRIED = 1000
"""Variables that are taken away in all tries together."""


def least_cliques(scopes: Sequence[Sequence[int]], sizes: Sizes) -> list[Clique]:
    """Return the cliques with fewest cells that a few tries come to; the same each time."""
    best = find_cliques(scopes, sizes)
    fewest = sum(cells(clique, sizes) for clique in best)
    tries = min(TRIES, TRIED // max(1, len(scopes))) if fewest > ENOUGH else 0
    for number in range(tries):
        # These lots need to come the same each time, which a source of secrets cannot; they say
        # which of two equal variables is taken away first, and are no secret.
        drawn = find_cliques(scopes, sizes, Random(number))  # noqa: S311 -- lots, no secret
        count = sum(cells(clique, sizes) for clique in drawn)
        if count < fewest:
            best, fewest = drawn, count
    return best


def find_cliques(
    scopes: Iterable[Sequence[int]], sizes: Sizes, lots: Random | None = None
) -> list[Clique]:
    """Return the cliques of the variables in the scopes, none within another.

    Of variables that need as few links one is drawn by lot where there are lots.
    """
    links = _links(scopes)
    fill = {v: _fill(links, v) for v in links}
    cliques: list[Clique] = []
    while links:
        least = min(fill.values())
        # The cells break a tie, then the number, so that the same tree comes out always.
        ties = [v for v, count in fill.items() if count == least]
        chosen = min(ties, key=lambda v: (cells({v, *links[v]}, sizes), v))
        if lots is not None:
            chosen = lots.choice(ties)
        around = links.pop(chosen)
        del fill[chosen]
        clique = frozenset({chosen, *around})
        if not any(clique <= other for other in cliques):
            cliques.append(clique)
        for one in around:
            links[one] |= around - {one}
            links[one].discard(chosen)
        changed = around.union(*(links[v] for v in around)) if least else around
        for one in changed:
            fill[one] = _fill(links, one)
    return cliques


def join_cliques(cliques: Sequence[Clique], sizes: Sizes) -> list[list[tuple[Clique, int]]]:
    """Return trees of (clique, place of its parent), each from its root outward.

    A clique is joined to the one with which it shares most (a maximum spanning tree), of
    several to the one with fewest neighbours; the root is its own parent. The root of a
    tree is its clique with most cells, and whatever hangs on a clique follows it at once.
    """
    left = set(cliques)
    by_size = sorted(cliques, key=lambda c: (-cells(c, sizes), sorted(c)))
    holding: dict[int, list[Clique]] = {}
    for clique in by_size:
        for variable in clique:
            holding.setdefault(variable, []).append(clique)
    # Whatever hangs on a root is taken out of what is left, and is no root any more.
    return [_depth_first(c, _tree(c, left, holding)) for c in by_size if c in left]


def merged(trees: Sequence[list[tuple[Clique, int]]], sizes: Sizes) -> list[Clique]:
    """Return the cliques of trees with small neighbours made one."""
    result = []
    for tree in trees:
        whole = [clique for clique, _ in tree]
        at = list(range(len(tree)))
        for k in range(len(tree) - 1, 0, -1):
            parent = tree[k][1]
            both = whole[k] | whole[parent]
            if cells(both, sizes) <= max(TINY, cells(whole[parent], sizes)):
                whole[parent] = both
                at[k] = parent
        result += [whole[k] for k in range(len(tree)) if at[k] == k]
    return [c for c in result if not any(c < other for other in result)]


def cells(variables: Iterable[int], sizes: Sizes) -> int:
    """Return the joint states of some variables."""
    return prod(sizes[v] for v in variables)


def _tree(
    root: Clique, left: set[Clique], holding: Mapping[int, list[Clique]]
) -> dict[Clique, list[Clique]]:
    """Take a tree out of the cliques left; return what hangs on each of its cliques."""
    hanging: dict[Clique, list[Clique]] = {}
    best: dict[Clique, tuple[int, int, Clique]] = {root: (0, 0, root)}
    while best:
        chosen = max(best, key=lambda c: best[c][:2])
        parent = best.pop(chosen)[2]
        left.discard(chosen)
        hanging[chosen] = []
        if chosen is not root:
            hanging[parent].append(chosen)
        for other in {c for v in chosen for c in holding[v] if c in left}:
            shared = len(chosen & other)
            if shared >= best.get(other, (0, 0, root))[0]:
                best[other] = (shared, len(hanging), chosen)
    return hanging


def _depth_first(
    root: Clique, hanging: Mapping[Clique, Sequence[Clique]]
) -> list[tuple[Clique, int]]:
    order: list[tuple[Clique, int]] = []
    waiting = [(root, 0)]
    while waiting:
        clique, parent = waiting.pop()
        place = len(order)
        order.append((clique, parent))
        waiting += [(child, place) for child in reversed(hanging[clique])]
    return order


def _links(scopes: Iterable[Sequence[int]]) -> dict[int, set[int]]:
    links: dict[int, set[int]] = {}
    for scope in scopes:
        for one in scope:
            links.setdefault(one, set())
        for one, other in combinations(scope, 2):
            links[one].add(other)
            links[other].add(one)
    return links


def _fill(links: Mapping[int, set[int]], variable: int) -> int:
    """How many pairs of a variable's neighbours are not linked."""
    around = links[variable]
    linked = sum(len(links[v] & around) for v in around)
    return (len(around) * (len(around) - 1) - linked) // 2
