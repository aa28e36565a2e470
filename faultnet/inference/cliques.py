"""Cliques of a network of tables, joined into a tree; counted before anything is computed.

Variables are numbers here. Every variable is linked to all that share a table with it;
taking the variables away one by one, each time the one that needs fewest links added
among its neighbours (min-fill), gives cliques that can be joined into a tree in which
each variable sits on one connected piece.
"""

from collections.abc import Iterable, Sequence
from itertools import combinations
from math import prod
from typing import TypeAlias

Clique: TypeAlias = frozenset[int]


def find_cliques(scopes: Iterable[Sequence[int]], sizes: Sequence[int]) -> list[Clique]:
    """Return the cliques, none within another; ``sizes`` holds states per variable."""
    links = _links(scopes, len(sizes))
    fill = {v: _fill(links, v) for v in links}
    cliques: list[Clique] = []
    while links:
        # The cells break a tie, then the number, so that the same tree comes out always.
        chosen = min(fill, key=lambda v: (fill[v], cells({v, *links[v]}, sizes), v))
        around = links.pop(chosen)
        del fill[chosen]
        clique = frozenset({chosen, *around})
        if not any(clique <= other for other in cliques):
            cliques.append(clique)
        for one in around:
            links[one] |= around - {one}
            links[one].discard(chosen)
        for one in around.union(*(links[v] for v in around)):
            fill[one] = _fill(links, one)
    return cliques


def join_cliques(cliques: Sequence[Clique], sizes: Sequence[int]) -> list[tuple[Clique, int]]:
    """Return (clique, place of its parent) from the root outward; the root is its own.

    Each clique is joined to the one placed already with which it shares most (a maximum
    spanning tree). The root is the clique with the most cells.
    """
    first = max(cliques, key=lambda clique: cells(clique, sizes))
    order = [(first, 0)]
    best = {clique: (len(clique & first), 0) for clique in cliques if clique != first}
    while best:
        chosen = max(best, key=lambda clique: best[clique][0])
        order.append((chosen, best.pop(chosen)[1]))
        for clique, (shared, _) in best.items():
            more = len(clique & chosen)
            if more > shared:
                best[clique] = (more, len(order) - 1)
    return order


def cells(variables: Iterable[int], sizes: Sequence[int]) -> int:
    """Return the joint states of some variables."""
    return prod(sizes[v] for v in variables)


def _links(scopes: Iterable[Sequence[int]], count: int) -> dict[int, set[int]]:
    links: dict[int, set[int]] = {v: set() for v in range(count)}
    for scope in scopes:
        for one, other in combinations(scope, 2):
            links[one].add(other)
            links[other].add(one)
    return links


def _fill(links: dict[int, set[int]], variable: int) -> int:
    """How many pairs of a variable's neighbours are not linked."""
    around = links[variable]
    linked = sum(len(links[v] & around) for v in around)
    return (len(around) * (len(around) - 1) - linked) // 2
