"""Pictures read back: SVG by an XML parser, DOT by a small reader of its grammar.

The grammar is that of https://graphviz.org/doc/info/lang.html, as far as quoted ids go.
"""

import re

from defusedxml.ElementTree import fromstring

SVG = "{http://www.w3.org/2000/svg}"
_TOKEN = re.compile(
    r'\s+|//[^\n]*|(?P<quoted>"(?:\\.|[^"\\])*")|(?P<bare>[A-Za-z_]\w*|-?[\d.]+)|(?P<sign>->|[{}\[\];=,])'
)


def tokens(text):
    """Yield the tokens of DOT; what is none is an error."""
    at = 0
    while at < len(text):
        found = _TOKEN.match(text, at)
        assert found, f"no token at {text[at : at + 40]!r}"
        at = found.end()
        if found["quoted"]:
            yield "id", re.sub(r'\\(["\\])', r"\1", found["quoted"][1:-1])
        elif found["bare"]:
            yield "id", found["bare"]
        elif found["sign"]:
            yield "sign", found["sign"]


class Dot:
    """Nodes with their attributes, and edges as (from, to, attributes)."""

    def __init__(self, text):
        self.told = list(tokens(text))
        self.nodes, self.edges = {}, []
        assert self.take("id") == "digraph"
        self.take("id")
        self.statements()
        assert self.told == []

    def take(self, kind, value=None):
        found, told = self.told.pop(0)
        assert found == kind, (found, told)
        assert value in (None, told), (value, told)
        return told

    def next_is(self, value):
        return bool(self.told) and self.told[0] == ("sign", value)

    def statements(self):
        self.take("sign", "{")
        while not self.next_is("}"):
            self.statement()
        self.take("sign", "}")

    def statement(self):
        name = self.take("id")
        if name == "subgraph":
            self.take("id")
            return self.statements()
        if self.next_is("="):
            self.take("sign", "=")
            self.take("id")
        elif self.next_is("->"):
            self.take("sign", "->")
            to = self.take("id")
            self.edges.append((name, to, self.attributes()))
        elif name in {"graph", "node", "edge"}:
            self.attributes()
        else:
            self.nodes[name] = self.attributes()
        return self.take("sign", ";")

    def attributes(self):
        found = {}
        self.take("sign", "[")
        while not self.next_is("]"):
            name = self.take("id")
            self.take("sign", "=")
            found[name] = self.take("id")
            if self.next_is(","):
                self.take("sign", ",")
        self.take("sign", "]")
        return found


class Svg:
    """Nodes by id with the texts in them, and edges as (from, to, kind)."""

    def __init__(self, text):
        self.root = fromstring(text)
        self.nodes = {
            each.get("data-id"): [t.text for t in each.iter(f"{SVG}text")]
            for each in self.root.iter(f"{SVG}a")
        }
        self.edges = {
            (each.get("data-from"), each.get("data-to"), each.get("class").split()[1])
            for each in self.root.iter(f"{SVG}path")
            if each.get("data-from")
        }

    def boxes(self):
        """Return left, top, right and bottom of each text, with the text."""
        return list(_boxes(self.root, 0.0))


def _boxes(element, down):
    moved = re.match(r"translate\(0 ([\d.]+)\)", element.get("transform", ""))
    down += float(moved[1]) if moved else 0.0
    if element.tag == f"{SVG}text":
        size = 17.0 if element.get("class") == "title" else 9.0 if _small(element) else 11.0
        x, y = float(element.get("x")), float(element.get("y")) + down
        right = x + float(element.get("textLength"))
        yield (x, y - 0.8 * size, right, y + 0.22 * size, element.text)
    for child in element:
        yield from _boxes(child, down)


def _small(element):
    return element.get("class") == "shows-no"


def overlapping(boxes):
    """Return pairs of texts whose boxes share some room."""
    found = []
    ordered = sorted(boxes, key=lambda box: box[1])
    for number, box in enumerate(ordered):
        for other in ordered[number + 1 :]:
            if other[1] >= box[3] - 0.01:
                break
            if box[0] < other[2] - 0.01 and other[0] < box[2] - 0.01:
                found.append((box[4], other[4]))
    return found


def crossings(edges, places):
    """Return how many of the pairs of edges between two columns cross."""
    ends = sorted((places[a], places[b]) for a, b in edges)
    return sum((a[0] - b[0]) * (a[1] - b[1]) < 0 for k, a in enumerate(ends) for b in ends[k + 1 :])
