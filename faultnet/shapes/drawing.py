"""A picture of a network for programs: its nodes and edges, and what is not in it."""

from typing import TYPE_CHECKING

import msgspec

if TYPE_CHECKING:
    from faultnet.drawing.network.graph import Graph


class NodeShape(msgspec.Struct, frozen=True):
    """A node: ``kind`` is root, cause, finding or check, ``id`` its id in the files."""

    kind: str
    id: str
    title: str
    group: str
    told: str
    probability: float | None


class EdgeShape(msgspec.Struct, frozen=True):
    """An edge between two nodes, named by kind and id; ``says`` is one text for each line."""

    kind: str
    source: str
    target: str
    strength: float | None
    says: tuple[str, ...]


class DrawingShape(msgspec.Struct, frozen=True):
    """A picture; ``weakest`` is the least strength of a link that is drawn."""

    system: str
    title: str
    weakest: float
    left_out: dict[str, int]
    warnings: tuple[str, ...]
    notes: tuple[str, ...]
    nodes: tuple[NodeShape, ...]
    edges: tuple[EdgeShape, ...]


def drawing_shape(system: str, graph: "Graph") -> DrawingShape:
    """Return a picture as plain values."""
    groups = {group.id: group.title for group in graph.groups}
    return DrawingShape(
        system,
        graph.title,
        graph.weakest,
        msgspec.to_builtins(graph.left_out),
        graph.warnings,
        graph.notes,
        tuple(
            NodeShape(n.kind, n.name, n.title, groups[n.group], n.told, n.belief)
            for n in graph.nodes
        ),
        tuple(EdgeShape(e.kind, e.source, e.target, e.strength, e.says) for e in graph.edges),
    )
