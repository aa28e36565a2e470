"""Where everything stands: boxes in columns, headings over groups, edges as curves.

Lengths are in CSS pixels. No two texts overlap, and no text lies on a box of another node.
"""

import itertools
from collections.abc import Iterator, Mapping
from functools import cached_property

import msgspec

from faultnet.drawing.network.graph import Edge, Graph, Group, Node
from faultnet.drawing.network.letters import lines, width
from faultnet.drawing.network.order import columns

SIZE = 11.0
"""Height of the letters."""

LINE = 13.0
PAD = 3.0
LEFT = 9.0
"""Room left and right of a text in its box."""

HEAD = 17.0
MOST = {"root": 150.0, "cause": 270.0, "finding": 270.0, "check": 220.0}
"""The widest text of a node of each kind."""

BOLD = 1.09
"""Bold letters against plain ones, in width."""

BAR = 44.0
"""Room for a belief: its bar, and its number."""

TONES = 6
"""Tones of lines, in turn."""

MANY = 60
"""With more links than these, findings have numbers, and causes those of what they show."""

CLOSE = 200
"""With more nodes than these, boxes stand close, so that a sheet holds them."""

BESIDE = {"cause": ("leads", "advice", "alike"), "finding": ("follows", "hides", "needs")}
"""Edges within a column, which run beside it: left of causes, right of findings."""


class Box(msgspec.Struct, frozen=True):
    """A node in its place, with its text in lines and the numbers of what it shows.

    Lines from ``answer_from`` on say what was told.
    """

    node: Node
    x: float
    y: float
    width: float
    height: float
    lines: tuple[str, ...]
    answer_from: int
    shows: str = ""

    @property
    def middle(self) -> float:
        """The height at which edges come and go."""
        return self.y + self.height / 2.0

    @property
    def out(self) -> float:
        """Where edges may leave it: right of box and numbers."""
        numbers = width(self.shows, SIZE - 2.0) + 6.0 if self.shows else 0.0
        return self.x + self.width + numbers

    @property
    def text_at(self) -> float:
        """Where the lines begin."""
        return self.x + LEFT + (BAR + 34.0 if self.node.belief is not None else 0.0)


class Heading(msgspec.Struct, frozen=True):
    """The title of a group over its nodes."""

    group: Group
    x: float
    y: float


class Curve(msgspec.Struct, frozen=True):
    """An edge along its way, as the data of a path of SVG; ``tone`` is that of its group."""

    edge: Edge
    path: str
    tone: int


class Laid(msgspec.Struct, frozen=True):
    """A picture laid out, apart from its title and legend."""

    graph: Graph
    width: float
    height: float
    boxes: tuple[Box, ...]
    headings: tuple[Heading, ...]
    curves: tuple[Curve, ...]


def bold(title: str) -> float:
    """Return the width of a text in bold letters."""
    return width(title, SIZE) * BOLD


def laid(graph: Graph) -> Laid:
    """Lay a graph out; raise ``ImportError`` where igraph is not installed."""
    return _Layout(graph).laid()


def _numbered(node: Node, count: Iterator[int]) -> Node:
    if node.kind != "finding":
        return node
    return msgspec.structs.replace(node, number=next(count))


class _Layout(msgspec.Struct, frozen=True, dict=True):
    graph: Graph

    def laid(self) -> Laid:
        boxes, headings = dict[str, Box](), list[Heading]()
        x = 8.0
        for column in self.columns:
            x += self.beside(column, "cause")
            found, heads = self.stood(column, x)
            boxes |= found
            headings += heads
            x = max(box.out for box in found.values()) + self.beside(column, "finding")
            x = max(x, *(each.x + bold(each.group.title) for each in heads))
            x += self.between(column)
        curves = tuple(
            Curve(edge, self.path(edge, boxes), self.tones[edge.source])
            for edge in self.graph.edges
        )
        ordered = tuple(boxes.values())
        return Laid(self.graph, x + 8.0, self.height, ordered, tuple(headings), curves)

    @cached_property
    def columns(self) -> list[list[tuple[Group, list[Node]]]]:
        """The columns; where there is much, findings are numbered from top to bottom."""
        found = columns(self.graph)
        if not self.many:
            return found
        count = itertools.count(1)
        return [
            [(g, [_numbered(n, count) for n in nodes]) for g, nodes in column] for column in found
        ]

    @cached_property
    def many(self) -> bool:
        return sum(edge.kind == "shows" for edge in self.graph.edges) > MANY

    def between(self, column: list[tuple[Group, list[Node]]]) -> float:
        """Return the room right of a column: more for more edges that leave it."""
        if column is self.columns[-1]:
            return 0.0
        ids = {node.id for _, nodes in column for node in nodes}
        leaving = sum(edge.source in ids and edge.target not in ids for edge in self.graph.edges)
        return min(300.0, 70.0 + 0.8 * leaving) if column[0][0].kind != "root" else 90.0

    @cached_property
    def tones(self) -> Mapping[str, int]:
        """The tone of what leaves each node: by groups in a large picture, else by rows."""
        found, row = dict[str, int](), itertools.count()
        for _, nodes in itertools.chain.from_iterable(self.columns):
            first = next(row)
            for node in nodes:
                found[node.id] = (first if self.close else next(row)) % TONES
        return found

    @cached_property
    def close(self) -> bool:
        return len(self.graph.nodes) > CLOSE

    @cached_property
    def gap(self) -> float:
        """The room between boxes."""
        return 1.0 if self.close else 4.0

    @cached_property
    def height(self) -> float:
        return max(self.tall(column) for column in self.columns)

    @cached_property
    def numbers(self) -> Mapping[str, int]:
        return {n.id: n.number for column in self.columns for _, nodes in column for n in nodes}

    def texts(self, node: Node) -> tuple[str, ...]:
        return (*self.title(node), *self.answer(node))

    def answer(self, node: Node) -> tuple[str, ...]:
        return lines(node.answer, SIZE, MOST[node.kind] / BOLD) if node.told else ()

    def title(self, node: Node) -> tuple[str, ...]:
        title = f"{node.number}  {node.title}" if node.number else node.title
        return lines(title, SIZE, MOST[node.kind])

    def tall(self, column: list[tuple[Group, list[Node]]]) -> float:
        """Return the least height of a column."""
        boxes = sum(self.high(node) + self.gap for _, nodes in column for node in nodes)
        return boxes + HEAD * len(column)

    def high(self, node: Node) -> float:
        return LINE * len(self.texts(node)) + (1.0 if self.close else PAD)

    def beside(self, column: list[tuple[Group, list[Node]]], kind: str) -> float:
        """Return the room for edges that run beside a column."""
        here = column[0][0].kind == kind
        count = sum(edge.kind in BESIDE[kind] for edge in self.graph.edges) if here else 0
        return min(110.0, 26.0 + 2.0 * count) if count else 0.0

    def stood(
        self, column: list[tuple[Group, list[Node]]], x: float
    ) -> tuple[dict[str, Box], list[Heading]]:
        """Return the boxes of a column from top to bottom, spread over the height."""
        count = sum(len(nodes) + 1 for _, nodes in column)
        slack = min((self.height - self.tall(column)) / count, 14.0)
        y = (self.height - self.tall(column) - slack * count) / 2.0
        boxes, headings = dict[str, Box](), list[Heading]()
        wide = max(self.wide(node) for _, nodes in column for node in nodes)
        for group, nodes in column:
            y += HEAD + slack
            headings.append(Heading(group, x, y - 4.0))
            for node in nodes:
                high, texts = self.high(node), self.texts(node)
                first = len(self.title(node))
                boxes[node.id] = Box(node, x, y, wide, high, texts, first, self.shows(node))
                y += high + self.gap + slack
        return boxes, headings

    def wide(self, node: Node) -> float:
        titles = [width(line, SIZE) for line in self.title(node)]
        text = max(*titles, *(bold(line) for line in self.answer(node)), 0.0)
        return text + 2 * LEFT + (BAR + 34.0 if node.belief is not None else 0.0)

    def shows(self, node: Node) -> str:
        """Return the numbers of what a cause shows in this picture, the strongest first."""
        if not self.many or node.kind != "cause":
            return ""
        mine = [e for e in self.graph.edges if e.kind == "shows" and e.source == node.id]
        mine.sort(key=lambda e: (-(e.strength or 0.0), self.numbers[e.target]))
        return " ".join(str(self.numbers[edge.target]) for edge in mine)

    def path(self, edge: Edge, boxes: Mapping[str, Box]) -> str:
        a, b = boxes[edge.source], boxes[edge.target]
        if a.node.kind == b.node.kind:
            return self.bow(a, b)
        start = max(box.out for box in boxes.values() if box.node.kind == a.node.kind)
        end = b.x
        pull = (end - start) * 0.5
        straight = f"H{start:.1f}" if start > a.out else ""
        return (
            f"M{a.out:.1f} {a.middle:.1f}{straight}C{start + pull:.1f} {a.middle:.1f} "
            f"{end - pull:.1f} {b.middle:.1f} {end:.1f} {b.middle:.1f}"
        )

    def bow(self, a: Box, b: Box) -> str:
        """Return a bow beside the column: the further apart, the wider."""
        away = abs(a.middle - b.middle) / max(self.height, 1.0)
        room = 22.0 + 110.0 * away**0.5
        left = a.node.kind == "cause"
        room = min(room, self.room(a.node.kind) - 4.0) * 4.0 / 3.0
        start, side = (a.x, -room) if left else (a.x + a.width, room)
        return (
            f"M{start:.1f} {a.middle:.1f}C{start + side:.1f} {a.middle:.1f} "
            f"{start + side:.1f} {b.middle:.1f} {start:.1f} {b.middle:.1f}"
        )

    def room(self, kind: str) -> float:
        return next((self.beside(c, kind) for c in self.columns if c[0][0].kind == kind), 30.0)
