"""Put an entry into a text; every other letter stays as it is."""

import re
from collections.abc import Callable, Iterator

import yaml

from faultnet.authoring.files import File
from faultnet.authoring.node import Node, Value, value_of
from faultnet.authoring.parse import parse
from faultnet.authoring.writing import spot
from faultnet.authoring.writing.spot import CannotWriteHereError
from faultnet.authoring.writing.written import STEP, beside, entry, item, scalar

MARK = "\ufeff"
"""The byte order mark, which may stand before a text."""
Path = tuple[str, ...]
"""Keys from the top of a file down to a mapping or a list."""


def insert(text: str, path: Path, key: str, value: Value) -> str:
    """Return the text with a key and its value at the end of the mapping at a path.

    What is missing on the path is made. Indents, empty lines between entries and line breaks
    are those in use. Raises ``CannotWriteHereError`` where the key stands already or the
    result would say anything else than before with the entry.
    """

    def change(held: Value) -> None:
        if not isinstance(held, dict) or key in held:
            raise CannotWriteHereError(f"`{key[:60]}` stands there already.")
        held[key] = value

    return _changed(text, path, change, lambda inner: _insert(inner, path, key, value), {})


def append(text: str, path: Path, value: Value) -> str:
    """Return the text with a value at the end of the list at a path; the rest as ``insert``."""

    def change(held: Value) -> None:
        if not isinstance(held, list):
            raise CannotWriteHereError(f"`{'.'.join(path)}` is no list.")
        held.append(value)

    return _changed(text, path, change, lambda inner: _append(inner, path, value), [])


def same(text: str, wanted: Value) -> bool:
    """Tell whether a text holds a value, read as knowledge files are."""
    node, problems = parse(File("", "", text.encode()))
    return node is not None and not problems and _told(value_of(node)) == _told(wanted)


def read(text: str) -> Node:
    """Return what a text holds; raise ``CannotWriteHereError`` where it cannot be read."""
    node, problems = parse(File("", "", text.encode()))
    if node is None or problems:
        raise CannotWriteHereError("The file has problems; `faultnet lint` tells them.")
    return node


def _changed(
    text: str,
    path: Path,
    change: Callable[[Value], None],
    write: Callable[[str], str],
    missing: "dict[str, Value] | list[Value]",
) -> str:
    mark, inner = (MARK, text[1:]) if text.startswith(MARK) else ("", text)
    wanted = value_of(read(inner))
    held = wanted
    for depth, name in enumerate(path):
        if not isinstance(held, dict):
            raise CannotWriteHereError(f"`{'.'.join(path[:depth])}` is no mapping.")
        held = held.setdefault(name, missing if depth == len(path) - 1 else {})
    change(held)
    written = write(inner)
    if not same(written, wanted):
        told = f"`{'.'.join(path)}` is laid out in a way that cannot be added to safely."
        raise CannotWriteHereError(told)
    return mark + written


def _told(value: Value) -> str:
    """Return what a value says: 2.0 is 2, NaN is NaN, true is not 1."""
    if isinstance(value, dict):
        return repr({key: _told(each) for key, each in value.items()})
    if isinstance(value, list):
        return repr([_told(each) for each in value])
    return scalar(value)


def _insert(text: str, path: Path, key: str, value: Value) -> str:
    node, left = _reached(text, path)
    for name in reversed(left):
        key, value = name, {key: value}
    if not isinstance(node, yaml.MappingNode):
        raise CannotWriteHereError(f"`{'.'.join(path)}` is no mapping.")
    if node.flow_style:
        return in_brackets(text, node, f"{beside(key)}: {beside(value)}")
    return below(text, node, entry(key, value, spot.column(node), _step(text)))


def _append(text: str, path: Path, value: Value) -> str:
    node, left = _reached(text, path)
    if left:
        return _insert(text, path[:-1], path[-1], [value])
    if isinstance(node, yaml.SequenceNode) and not node.flow_style:
        return below(text, node, item(value, spot.column(node), _step(text)))
    return in_brackets(text, node, beside(value))


def _reached(text: str, path: Path) -> tuple[yaml.Node, Path]:
    """Return the last node on a path that there is, and the keys that are left."""
    node = spot.top_of(text)
    for depth, name in enumerate(path):
        inner = spot.child(node, name)
        if inner is None:
            return node, path[depth:]
        node = inner
    return node, ()


def in_brackets(text: str, node: yaml.Node, written: str) -> str:
    """Return the text with something put behind the last thing in braces or brackets."""
    if not isinstance(node, yaml.CollectionNode):
        raise CannotWriteHereError("There is nothing here that could be added to.")
    if not node.value:
        at = spot.start(node) + 1
        return text[:at] + written + text[at:]
    last = node.value[-1]
    at = spot.end(text, last[1] if isinstance(last, tuple) else last)
    return f"{text[:at]}, {written}{text[at:]}"


def below(text: str, node: yaml.CollectionNode, lines: list[str]) -> str:
    """Return the text with lines put behind the last entry of a block."""
    line_break = spot.newline(text)
    at = spot.end(text, node)
    if spot.at_line_start(text, at):
        # It ends with a text that keeps its empty lines: one more would be part of it.
        return text[:at] + line_break.join([*lines, ""]) + text[at:]
    at = _behind_remarks(text, spot.line_end(text, at), spot.column(node))
    gap = [""] if _apart(text, node) else []
    return text[:at] + line_break.join(["", *gap, *lines]) + text[at:]


def _behind_remarks(text: str, at: int, column: int) -> int:
    """Return the end of the comment lines right below that are indented like the entry."""
    remark = re.compile(f"(?:{spot.BREAK.pattern}) {{{max(column, 1)},}}#")
    while found := remark.match(text, at):
        at = spot.line_end(text, found.end())
    return at


def _apart(text: str, node: yaml.CollectionNode) -> bool:
    """Tell whether an empty line stands before the last entry of a block."""
    last = node.value[-1]
    at = spot.start(last[0] if isinstance(last, tuple) else last)
    before = re.split(spot.BREAK, text[:at])[:-1]
    while before and before[-1].lstrip().startswith("#"):
        before.pop()
    return bool(before) and not before[-1].strip()


def _step(text: str) -> int:
    """Return by how much what stands inside something is indented further."""
    for node in _mappings(spot.top_of(text)):
        for key, value in node.value:
            if isinstance(value, yaml.MappingNode) and not value.flow_style:
                return spot.column(value) - spot.column(key)
    return STEP


def _mappings(node: yaml.Node) -> Iterator[yaml.MappingNode]:
    """Yield the mappings of a tree, outer ones first."""
    if isinstance(node, yaml.MappingNode):
        yield node
        for _, value in node.value:
            yield from _mappings(value)
