"""What stands round a picture: title, dangers, legend, and what was left out."""

from collections.abc import Iterator

import msgspec

from faultnet.drawing.network.graph import LINES, Graph
from faultnet.drawing.network.letters import lines, width
from faultnet.drawing.network.place import MANY

TITLE = 17.0
SIZE = 11.0
STEP = 15.0
SAMPLE = 46.0
"""The length of a line that is explained."""


class Told(msgspec.Struct, frozen=True):
    """A line of text with its place; ``sample`` is a kind of line or box that it explains."""

    text: str
    x: float
    y: float
    look: str = ""
    sample: str = ""
    size: float = SIZE


def above(graph: Graph, wide: float) -> list[Told]:
    """Return dangers first, then the title, from the top down."""
    found, y = list[Told](), 6.0
    for warning in graph.warnings:
        for line in lines(warning, SIZE, (wide - 36.0) * 0.92):
            y += STEP
            found.append(Told(line, 18.0, y, "loud"))
        y += 12.0
    for line in lines(graph.title, TITLE, (wide - 16.0) * 0.9):
        y += 22.0
        found.append(Told(line, 8.0, y, "title", size=TITLE))
    return found


def below(graph: Graph, wide: float, y: float) -> list[Told]:
    """Return the legend in as many columns as fit, then what was left out, from ``y`` down."""
    entries = [*_entries(graph)]
    column = max(SAMPLE + 10.0 + width(text, SIZE) for _, text in entries) + 24.0
    across = max(1, int(wide // column))
    found = []
    for number, (sample, text) in enumerate(entries):
        x = 8.0 + column * (number % across)
        row = y + 12.0 + STEP * (number // across)
        found.append(Told(text, x + SAMPLE + 10.0, row, sample=sample))
    y += 12.0 + STEP * -(-len(entries) // across) + 6.0
    for note in graph.told_below:
        for line in lines(note, SIZE, wide - 16.0):
            found.append(Told(line, 8.0, y))
            y += STEP
    return found


def _entries(graph: Graph) -> Iterator[tuple[str, str]]:
    kinds = {node.kind for node in graph.nodes}
    names = {
        "root": "layout, or just before",
        "cause": "cause",
        "finding": "finding",
        "check": "check",
    }
    for kind, name in names.items():
        if kind in kinds:
            yield f"box {kind}", name
    if any(node.danger for node in graph.nodes):
        yield "box finding danger", "finding that can be a danger"
    if any(node.told for node in graph.nodes):
        yield "box finding told", "was told or measured"
    if any(node.focus for node in graph.nodes):
        yield "box cause focus", "what the picture is about"
    if any(node.belief is not None for node in graph.nodes):
        yield "belief", "how likely the cause is"
    used = {edge.kind for edge in graph.edges}
    for kind, name in LINES.items():
        if kind in used:
            yield f"edge {kind}", name
    if sum(edge.kind == "shows" for edge in graph.edges) > MANY:
        yield "numbers", "numbers right of a cause: the findings it shows, strongest first"
