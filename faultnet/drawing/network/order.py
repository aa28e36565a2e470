"""The order of nodes in their columns: few crossings, groups kept together.

The layers and the sweeps that reduce crossings are those of Sugiyama, Tagawa and Toda (1981), by
igraph; groups are then put together at the middle of where it has their nodes. In a case the
likeliest causes stand first.
"""

from collections.abc import Mapping
from statistics import fmean

from faultnet.drawing.network.graph import KINDS, Graph, Group, Node

SWEEPS = 200
"""The most sweeps over the layers."""


def columns(graph: Graph) -> list[list[tuple[Group, list[Node]]]]:
    """Return the columns from left to right, each its groups from top to bottom with their nodes.

    Raises ``ImportError`` where igraph is not installed.
    """
    at = _places(graph) | _ranks(graph)
    members: dict[str, list[Node]] = {}
    for node in graph.nodes:
        members.setdefault(node.group, []).append(node)
    found = []
    for kind in KINDS:
        groups = [g for g in graph.groups if g.kind == kind and g.id in members]
        groups.sort(key=lambda g: (_first(g.kind, members[g.id], at), g.id))
        if groups:
            found.append([(g, _sorted(members[g.id], at)) for g in groups])
    return found


def _ranks(graph: Graph) -> dict[str, float]:
    """Return where causes stand of which it is known how likely they are: the likeliest first."""
    return {node.id: -node.belief for node in graph.nodes if node.belief is not None}


def _first(kind: str, nodes: list[Node], at: Mapping[str, float]) -> float:
    """Return where a group stands: at its middle, or at its likeliest cause."""
    places = [at[node.id] for node in nodes]
    return min(places) if kind == "cause" and nodes[0].belief is not None else fmean(places)


def _sorted(nodes: list[Node], at: Mapping[str, float]) -> list[Node]:
    return sorted(nodes, key=lambda node: (at[node.id], node.id))


def _places(graph: Graph) -> dict[str, float]:
    """Return where igraph puts each node in its layer."""
    from igraph import Graph as Drawn

    layer = {kind: number for number, kind in enumerate(KINDS)}
    ids = [node.id for node in graph.nodes]
    index = {name: number for number, name in enumerate(ids)}
    layers = [layer[node.kind] for node in graph.nodes]
    ends = [(index[e.source], index[e.target]) for e in graph.edges]
    across = [(a, b) for a, b in ends if layers[a] != layers[b]]
    drawn = Drawn(n=len(ids), edges=across, directed=True)
    points = drawn.layout_sugiyama(layers=layers, maxiter=SWEEPS).coords[: len(ids)]
    return {name: point[0] for name, point in zip(ids, points, strict=True)}
