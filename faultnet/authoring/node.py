"""What a YAML text holds, every piece with its place."""

from typing import TypeAlias

import msgspec

from faultnet.model.origin import Origin

Plain: TypeAlias = str | int | float | bool | None
Value: TypeAlias = "Plain | list[Value] | dict[str, Value]"
"""What a text holds, without places."""


class Scalar(msgspec.Struct, frozen=True):
    """A single value, with the text it was written as."""

    origin: Origin
    text: str
    value: Plain


class Sequence(msgspec.Struct, frozen=True):
    """Values in order."""

    origin: Origin
    items: "tuple[Node, ...]"


class Entry(msgspec.Struct, frozen=True):
    """A key's place and its value."""

    origin: Origin
    node: "Node"


class Mapping(msgspec.Struct, frozen=True):
    """Values by key; the keys are text as written."""

    origin: Origin
    entries: dict[str, Entry]


Node: TypeAlias = Scalar | Sequence | Mapping


def named(node: Node) -> str:
    """Return what a node is, in words for a message."""
    if isinstance(node, Mapping):
        return "a mapping"
    if isinstance(node, Sequence):
        return "a list"
    if node.value is None:
        return "nothing"
    return f"`{node.text[:40]}`"


def value_of(node: Node) -> Value:
    """Return what a node holds, without places."""
    if isinstance(node, Mapping):
        return {key: value_of(entry.node) for key, entry in node.entries.items()}
    if isinstance(node, Sequence):
        return [value_of(item) for item in node.items]
    return node.value
