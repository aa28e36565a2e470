"""A graph as DOT, the language of Graphviz (https://graphviz.org/doc/info/lang.html): text only."""

from collections.abc import Iterator

from faultnet.drawing.network.graph import LINES, Edge, Graph, Group, Node
from faultnet.drawing.network.look import TONES
from faultnet.drawing.network.shapes import line_width

SHAPES = {
    "root": 'shape=box, style="dashed"',
    "cause": "shape=box",
    "finding": 'shape=box, style="rounded"',
    "check": "shape=box, peripheries=2",
}

STYLES = {
    "shows": 'style="solid"',
    "follows": 'style="dashed"',
    "hides": 'style="dashed", arrowhead="tee"',
    "needs": 'style="dotted"',
    "leads": 'style="bold", arrowhead="vee"',
    "advice": 'style="dotted", arrowhead="vee"',
    "alike": 'style="dotted", dir="none", constraint="false"',
    "tips": 'style="dashed", arrowhead="empty"',
    "reveals": 'style="solid", arrowhead="dot"',
}


def dot(graph: Graph) -> str:
    """Return a picture as DOT, to be laid out by whatever reads it."""
    return "\n".join([*_lines(graph), ""])


def _lines(graph: Graph) -> Iterator[str]:
    told = "\n".join([*graph.warnings, graph.title, *graph.told_below])
    yield f"digraph {quoted('network')} {{"
    yield f"  graph [rankdir=LR, ranksep=3, nodesep=0.1, label={quoted(told)}, labelloc=t];"
    yield '  node [fontname="Helvetica", fontsize=10, height=0.2, margin="0.08,0.03"];'
    yield '  edge [fontname="Helvetica", fontsize=8];'
    for kind, about in LINES.items():
        if any(edge.kind == kind for edge in graph.edges):
            yield f"  // {kind}: {about}"
    tone = {group.id: TONES[k % len(TONES)] for k, group in enumerate(graph.groups)}
    for group in graph.groups:
        yield from _cluster(graph, group)
    group_of = {node.id: node.group for node in graph.nodes}
    for edge in graph.edges:
        yield f"  {_edge(edge, tone[group_of[edge.source]])}"
    yield "}"


def _cluster(graph: Graph, group: Group) -> Iterator[str]:
    yield f"  subgraph {quoted(f'cluster {group.id}')} {{"
    yield f"    label={quoted(group.title)}; labeljust=l; style=dotted;"
    for node in graph.nodes:
        if node.group == group.id:
            yield f"    {quoted(node.id)} [{_node(node)}];"
    yield "  }"


def _node(node: Node) -> str:
    told = f"\n{node.answer}" if node.told else ""
    belief = f"{node.belief:.1%}  " if node.belief is not None else ""
    danger = "DANGER: " if node.danger else ""
    wide = ", penwidth=2.5" if node.focus or node.told else ""
    return f"label={quoted(f'{belief}{danger}{node.title}{told}')}, {SHAPES[node.kind]}{wide}"


def _edge(edge: Edge, tone: str) -> str:
    says = f", tooltip={quoted('; '.join(edge.says))}" if edge.says else ""
    strength = f", strength={quoted(f'{edge.strength:g}')}" if edge.strength is not None else ""
    wide = f"penwidth={line_width(edge):.2f}"
    style = f'{STYLES[edge.kind]}, {wide}, color="{tone}", class={quoted(edge.kind)}'
    return f"{quoted(edge.source)} -> {quoted(edge.target)} [{style}{strength}{says}];"


def quoted(text: str) -> str:
    """Return a text as a quoted id of DOT."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return f'"{escaped}"'
