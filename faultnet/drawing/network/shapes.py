"""The shapes of SVG that a picture is made of: texts, boxes, lines."""

from html import escape

from faultnet.drawing.network.graph import Edge
from faultnet.drawing.network.legend import SAMPLE, Told
from faultnet.drawing.network.letters import width
from faultnet.drawing.network.look import STROKES
from faultnet.drawing.network.place import BAR, BOLD, LEFT, LINE, SIZE, Box

SMALL = SIZE - 2.0

MARKS = {
    "end": '<path d="M0 0L8 4L0 8z"/>',
    "bar": '<path d="M5 0h3v8h-3z"/>',
    "dot": '<circle cx="5" cy="4" r="3"/>',
}
"""What stands at the end of a line."""


def text(words: str, x: float, y: float, size: float = SIZE, look: str = "") -> str:
    """Return a text of just the width that was reckoned with, whatever letters a reader has."""
    bold = BOLD if look in {"head", "title", "loud", "answer"} else 1.0
    long = width(words, size) * bold
    kind = f' class="{look}"' if look else ""
    return (
        f'<text{kind} x="{x:.1f}" y="{y:.1f}" textLength="{long:.1f}" '
        f'lengthAdjust="spacingAndGlyphs">{escape(words)}</text>'
    )


def rectangle(look: str, x: float, y: float, wide: float, high: float) -> str:
    """Return a rectangle."""
    return f'<rect class="{look}" x="{x:.1f}" y="{y:.1f}" width="{wide:.1f}" height="{high:.1f}"/>'


def marks(prefix: str) -> str:
    """Return the ends of lines, to be named by lines."""
    told = "".join(
        f'<marker id="{prefix}-{name}" viewBox="0 0 8 8" refX="7.5" refY="4" markerWidth="6" '
        f'markerHeight="6" markerUnits="userSpaceOnUse" orient="auto" fill="#333">{shape}</marker>'
        for name, shape in MARKS.items()
    )
    return f"<defs>{told}</defs>"


def line_width(edge: Edge) -> float:
    """Return the width of an edge in pixels: that of a link by its strength."""
    return 0.4 + 2.4 * edge.strength if edge.kind == "shows" and edge.strength else 1.0


def stroke(kind: str, prefix: str, wide: float) -> str:
    """Return how a line of a kind is drawn."""
    dashes, mark = STROKES[kind]
    return (
        f'stroke-width="{wide:.2f}"'
        + (f' stroke-dasharray="{dashes}"' if dashes else "")
        + (f' marker-end="url(#{prefix}-{mark})"' if mark else "")
    )


def inside(box: Box) -> str:
    """Return a box with all that is written in it and right of it."""
    node = box.node
    parts = [rectangle("box", box.x, box.y, box.width, box.height)]
    if node.danger:
        parts.append(rectangle("alarm", box.x, box.y, 5.0, box.height))
    if node.belief is not None:
        parts += belief(node.belief, box.x + LEFT, box.middle)
    first = box.middle - LINE * len(box.lines) / 2.0 + 10.0
    for number, line in enumerate(box.lines):
        look = "answer" if number >= box.answer_from else ""
        parts.append(text(line, box.text_at, first + LINE * number, look=look))
    if box.shows:
        x = box.x + box.width + 4.0
        parts.append(text(box.shows, x, box.middle + 3.2, SMALL, "shows-no"))
    return "".join(parts)


def belief(share: float, x: float, y: float) -> list[str]:
    """Return a bar for a probability, with the number right of it, around the height ``y``."""
    told = f"{share:.0%}" if share >= 0.005 else "<1%"
    return [
        rectangle("trough", x, y - 4.0, BAR, 8.0),
        rectangle("belief", x, y - 4.0, BAR * share, 8.0),
        text(told, x + BAR + 28.0 - width(told, SIZE), y + 4.0),
    ]


def explained(told: Told, prefix: str) -> str:
    """Return a line of the legend with its sample."""
    x, y = told.x - SAMPLE - 10.0, told.y - 4.0
    words = text(told.text, told.x, told.y, told.size, told.look)
    kind, _, which = told.sample.partition(" ")
    if kind == "edge":
        line = f'd="M{x:.1f} {y:.1f}h{SAMPLE:.0f}"'
        return f'<path class="sample t0" {stroke(which, prefix, 1.6)} {line}/>{words}'
    if kind == "box":
        box = rectangle("box", x, y - 5.0, SAMPLE - 8.0, 11.0)
        mark = rectangle("alarm", x, y - 5.0, 5.0, 11.0) if "danger" in which else ""
        return f'<g class="{which}">{box}{mark}</g>{words}'
    if kind == "belief":
        bars = rectangle("trough", x, y - 4.0, BAR, 8.0) + rectangle(
            "belief", x, y - 4.0, 15.0, 8.0
        )
        return bars + words
    if kind == "numbers":
        return text("3 12 40", x, y + 4.0, SMALL, "shows-no") + words
    return words
