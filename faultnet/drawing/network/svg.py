"""A graph as SVG: readable on a screen and on paper, whole in itself, without a script."""

from collections.abc import Mapping
from html import escape

from faultnet.drawing.network.graph import Graph
from faultnet.drawing.network.legend import above, below
from faultnet.drawing.network.look import STYLE, pointed, tones
from faultnet.drawing.network.paper import print_style
from faultnet.drawing.network.place import Box, Curve, Laid, laid
from faultnet.drawing.network.shapes import (
    explained,
    inside,
    line_width,
    marks,
    rectangle,
    stroke,
    text,
)

NARROWEST = 620.0
"""Pixels; room for title and legend."""


def svg(graph: Graph) -> str:
    """Return a picture as SVG; raise ``ImportError`` where igraph is not installed."""
    picture = laid(graph)
    wide = max(picture.width, NARROWEST)
    head = above(graph, wide)
    top = head[-1].y + 10.0
    foot = below(graph, wide, top + picture.height + 18.0)
    high = foot[-1].y + 12.0
    style = f"{STYLE}{tones()}\n{pointed('n', len(picture.boxes))}\n{print_style(wide, high)}"
    parts = [
        *_opened(graph, "n", wide, high, 'role="graphics-document"'),
        f"<style>{style}</style>",
        _frame([each.y for each in head if each.look == "loud"], wide),
        *(text(each.text, each.x, each.y, each.size, each.look) for each in head),
        *_body(picture, "n", top, pointing=True),
        *(explained(each, "n") for each in foot),
        "</svg>",
    ]
    return "\n".join(filter(None, parts)) + "\n"


def svg_inside(graph: Graph, prefix: str) -> str:
    """Return a picture to stand in a page that has ``page_style``; ids get the prefix.

    It is one picture to whoever cannot see it, told by its title and description. Raises as
    ``svg``.
    """
    picture = laid(graph)
    opened = _opened(graph, prefix, picture.width, picture.height + 8.0, 'role="img"')
    return "\n".join([*opened, *_body(picture, prefix, 0.0, pointing=False), "</svg>"]) + "\n"


def page_style() -> str:
    """Return the style of pictures that stand inside a page."""
    return f"{STYLE}{tones()}\n"


def described(graph: Graph) -> str:
    """Return what the picture shows, for whoever cannot see it."""
    counts = ", ".join(
        f"{sum(node.kind == kind for node in graph.nodes)} {name}"
        for kind, name in (("cause", "causes"), ("finding", "findings"), ("check", "checks"))
    )
    told = f"{counts}, {len(graph.edges)} links. Causes stand left, findings right of them."
    return " ".join([*graph.warnings, told, *graph.told_below])


def _opened(graph: Graph, prefix: str, wide: float, high: float, role: str) -> list[str]:
    size = f'viewBox="0 0 {wide:.1f} {high:.1f}" width="{wide:.0f}" height="{high:.0f}"'
    told = f'aria-labelledby="{prefix}-title" aria-describedby="{prefix}-desc"'
    space = 'xmlns="http://www.w3.org/2000/svg" lang="en"'
    return [
        f'<svg {space} class="net" {size} {role} {told}>',
        f'<title id="{prefix}-title">{escape(graph.title)}</title>',
        f'<desc id="{prefix}-desc">{escape(described(graph))}</desc>',
    ]


def _frame(lines: list[float], wide: float) -> str:
    """Return a frame round the dangers."""
    if not lines:
        return ""
    return rectangle("frame", 8.0, lines[0] - 14.0, wide - 16.0, lines[-1] - lines[0] + 21.0)


def _body(picture: Laid, prefix: str, top: float, *, pointing: bool) -> list[str]:
    number = {box.node.id: k for k, box in enumerate(picture.boxes)}
    names = {node: f"{prefix}{k}" for node, k in number.items()}
    near = _near(picture.graph, names)
    boxes = (_pointed(b, names, near) if pointing else _plain(b) for b in picture.boxes)
    return [
        marks(prefix),
        f'<g transform="translate(0 {top:.1f})">',
        *(_curve(curve, names, prefix) for curve in picture.curves),
        *(text(h.group.title, h.x, h.y, look="head") for h in picture.headings),
        *boxes,
        "</g>",
    ]


def _near(graph: Graph, names: Mapping[str, str]) -> dict[str, list[str]]:
    """Return for each node its name and those of the nodes that it is linked to."""
    found: dict[str, dict[str, None]] = {n.id: {names[n.id]: None} for n in graph.nodes}
    for edge in graph.edges:
        found[edge.source][names[edge.target]] = None
        found[edge.target][names[edge.source]] = None
    return {name: list(near) for name, near in found.items()}


def _curve(curve: Curve, names: Mapping[str, str], prefix: str) -> str:
    edge = curve.edge
    look = f"edge {edge.kind} t{curve.tone} {names[edge.source]} {names[edge.target]}"
    ends = f'data-from="{escape(edge.source)}" data-to="{escape(edge.target)}"'
    line = stroke(edge.kind, prefix, line_width(edge))
    says = f"<title>{escape('; '.join(edge.says))}</title>" if edge.says else ""
    return f'<path class="{look}" {ends} {line} d="{curve.path}">{says}</path>'


def _looks(box: Box) -> list[str]:
    node = box.node
    return ["node", node.kind, *["focus"] * node.focus, *["told"] * bool(node.told)]


def _pointed(box: Box, names: Mapping[str, str], near: Mapping[str, list[str]]) -> str:
    """Return a node that can be pointed at, by mouse, by key and by address."""
    node = box.node
    name, looks = names[node.id], " ".join([*_looks(box), *near[node.id]])
    says = escape(f"{node.title} ({node.kind} {node.name})")
    opened = f'<a id="{name}" class="{looks}" href="#{name}" data-id="{escape(node.id)}">'
    return f"{opened}<title>{says}</title>{inside(box)}</a>"


def _plain(box: Box) -> str:
    return f'<g class="{" ".join(_looks(box))}">{inside(box)}</g>'
