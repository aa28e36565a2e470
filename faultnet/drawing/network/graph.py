"""What is drawn, whatever it is written as: nodes in groups, edges, and what was left out."""

import msgspec

MEASURED = "measured: "
"""What a number of an instrument begins with."""

KINDS = {
    "root": "What the installation is like, and what happened just before",
    "cause": "Causes",
    "finding": "Findings",
    "check": "Checks",
}
"""Kinds of nodes from left to right, as their columns are called."""

LINES = {
    "shows": "a cause shows a finding, the wider the oftener",
    "follows": "a finding follows from another",
    "hides": "while the one is there, the other cannot be told",
    "needs": "the other can be taken only while this is right",
    "leads": "a cause leads to another",
    "advice": "a cause may lead to another, no number",
    "alike": "causes that look alike",
    "tips": "makes a cause likelier or less likely",
    "reveals": "a check reveals a finding",
}
"""Kinds of edges, as the legend says them."""


class Node(msgspec.Struct, frozen=True):
    """Something in the picture; ``id`` is its kind, a colon and its id in the files.

    ``told`` is what was answered about it, ``belief`` how likely a cause is (0 to 1);
    ``danger`` marks a finding that can be a danger, ``look`` one that is a look at a single
    cause, ``focus`` what the picture is about.
    ``number`` is what others call it by, 0 for none.
    """

    id: str
    kind: str
    title: str
    group: str
    told: str = ""
    belief: float | None = None
    danger: bool = False
    look: bool = False
    focus: bool = False
    number: int = 0

    @property
    def name(self) -> str:
        """The id in the files."""
        return self.id.partition(":")[2]

    @property
    def answer(self) -> str:
        """What was told or measured, as it stands in the picture; empty for nothing."""
        return (
            self.told if self.told.startswith(MEASURED) or not self.told else f"told: {self.told}"
        )


class Edge(msgspec.Struct, frozen=True):
    """An arrow between two nodes; ``strength`` (0 to 1) where it has one.

    ``says`` holds what the files say, one text for each line of theirs.
    """

    source: str
    target: str
    kind: str
    strength: float | None = None
    says: tuple[str, ...] = ()


class Group(msgspec.Struct, frozen=True):
    """Nodes of one kind that belong together: those of a part, mostly."""

    id: str
    kind: str
    title: str


class LeftOut(msgspec.Struct, frozen=True):
    """How many of each kind are not in the picture, though they belong to what it shows."""

    links: int = 0
    looks: int = 0
    causes: int = 0

    def said(self, weakest: float) -> str:
        """Return it as a sentence, or nothing."""
        told = [
            _count(self.links, "link", f"under {weakest:.0%}"),
            _count(self.looks, "finding", "a look at one cause"),
            _count(self.causes, "cause", "less likely than these"),
        ]
        kept = [each for each in told if each]
        return f"Left out: {', '.join(kept)}." if kept else ""


class Graph(msgspec.Struct, frozen=True):
    """A picture before it is laid out: ``notes`` are told below, ``warnings`` above it."""

    title: str
    about: str
    groups: tuple[Group, ...]
    nodes: tuple[Node, ...]
    edges: tuple[Edge, ...]
    left_out: LeftOut = LeftOut()
    weakest: float = 0.0
    notes: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()

    @property
    def told_below(self) -> tuple[str, ...]:
        """What stands below the picture: what was left out, then the notes."""
        left = self.left_out.said(self.weakest)
        return (*([left] if left else []), *self.notes)


def _count(number: int, what: str, which: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'} ({which})" if number else ""
