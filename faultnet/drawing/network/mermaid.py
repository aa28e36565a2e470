"""A graph as Mermaid (https://mermaid.js.org/syntax/flowchart.html), small enough for a page."""

import re
from collections.abc import Iterator

from msgspec.structs import replace

from faultnet.drawing.network.graph import Edge, Graph, Node

MOST = 120
"""Edges; with more of them nobody can follow one, and what shows them may refuse."""

ARROWS = {
    "shows": "-->",
    "follows": "-.->",
    "hides": "-.-x",
    "needs": "-.-o",
    "leads": "==>",
    "advice": "-.->",
    "alike": "-.-",
    "tips": "-.->",
    "reveals": "--o",
}

SHAPES = {"root": "[/{}/]", "cause": "[{}]", "finding": "({})", "check": "[[{}]]"}

_SIGNS = re.compile(r"[^\w .,:;!?%()+=/-]")


def bounded(graph: Graph) -> Graph:
    """Return a graph of no more than ``MOST`` edges: the strongest links, and what they join."""
    if len(graph.edges) <= MOST:
        return graph
    first = sorted(enumerate(graph.edges), key=lambda pair: (_weight(pair[1]), pair[0]))
    kept = tuple(edge for _, edge in sorted(first[:MOST], key=lambda pair: pair[0]))
    ends = {end for edge in kept for end in (edge.source, edge.target)}
    nodes = tuple(n for n in graph.nodes if n.id in ends or n.focus or n.told)
    groups = tuple(g for g in graph.groups if any(n.group == g.id for n in nodes))
    out = len(graph.edges) - MOST
    note = f"{out} more links are left out, so that it fits a page: choose a part, or SVG."
    return replace(graph, edges=kept, nodes=nodes, groups=groups, notes=(*graph.notes, note))


def mermaid(graph: Graph) -> str:
    """Return a picture as Mermaid; what is beyond its bounds is left out, and told."""
    return "\n".join([*_lines(bounded(graph)), ""])


def _weight(edge: Edge) -> float:
    """Return what comes first: links by strength, then all else."""
    return -(edge.strength or 0.0) if edge.kind == "shows" else -0.5


def _lines(graph: Graph) -> Iterator[str]:
    for told in (*graph.warnings, graph.title, *graph.told_below):
        yield f"%% {' '.join(told.split())}"
    yield "flowchart LR"
    name = {node.id: f"n{k}" for k, node in enumerate(graph.nodes)}
    for number, group in enumerate(graph.groups):
        yield f'  subgraph g{number}["{_text(group.title)}"]'
        for node in graph.nodes:
            if node.group == group.id:
                shape = SHAPES[node.kind].format(f'"{_text(_title(node))}"')
                yield f"    {name[node.id]}{shape}"
        yield "  end"
    for edge in graph.edges:
        strength = f'|"{edge.strength:.2g}"|' if edge.strength is not None else ""
        yield f"  {name[edge.source]} {ARROWS[edge.kind]}{strength} {name[edge.target]}"
    loud = [name[node.id] for node in graph.nodes if node.focus or node.told]
    if loud:
        yield "  classDef loud stroke-width:4px"
        yield f"  class {','.join(loud)} loud"


def _title(node: Node) -> str:
    belief = f"{node.belief:.0%} " if node.belief is not None else ""
    told = f" = {node.told}" if node.told else ""
    return f"{belief}{node.title}{told}"


def _text(text: str) -> str:
    """Return a text with signs that mean something there written as numbers."""
    return _SIGNS.sub(lambda sign: f"#{ord(sign[0])};", " ".join(text.split()))
