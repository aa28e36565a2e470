"""Where in a text something stands, to the letter."""

import re

import yaml

BREAK = re.compile("\r\n|[\n\r\x85\u2028\u2029]")
_KEEPS = re.compile(r"[|>](?:[0-9]?\+)")
_FIRST_BREAK = "\n"


class CannotWriteHereError(Exception):
    """The text is laid out in a way that cannot be added to; it is to be done by hand."""


def top_of(text: str) -> yaml.Node:
    """Return the tree of a text with marks; raise ``CannotWriteHereError`` where there is none."""
    try:
        node = yaml.compose(text, Loader=yaml.CLoader)
    except yaml.YAMLError as error:
        raise CannotWriteHereError("The file is not YAML any more.") from error
    if not isinstance(node, yaml.Node):
        raise CannotWriteHereError("The file holds nothing.")
    return node


def child(node: yaml.Node, key: str) -> yaml.Node | None:
    """Return the value of a key, or None where the node has no such key."""
    if not isinstance(node, yaml.MappingNode):
        raise CannotWriteHereError(f"What should hold `{key[:60]}` is no mapping.")
    return next((value for name, value in node.value if name.value == key), None)


def start(node: yaml.Node) -> int:
    """Return the index where a node begins."""
    assert node.start_mark is not None
    return int(node.start_mark.index)


def column(node: yaml.Node) -> int:
    """Return the column where a node begins, from 0."""
    assert node.start_mark is not None
    return int(node.start_mark.column)


def place(node: yaml.Node) -> tuple[int, int]:
    """Return the line and the column where a node begins, from 1, as an origin has them."""
    assert node.start_mark is not None
    return node.start_mark.line + 1, node.start_mark.column + 1


def end(text: str, node: yaml.Node) -> int:
    """Return the index behind the last letter of a node; comments and empty lines are left out."""
    if isinstance(node, yaml.CollectionNode) and not node.flow_style and node.value:
        last = node.value[-1]
        return end(text, last[1] if isinstance(last, tuple) else last)
    assert node.end_mark is not None
    behind = int(node.end_mark.index)
    block = isinstance(node, yaml.ScalarNode) and node.style in ("|", ">")
    if block and not _KEEPS.match(text, start(node)):
        return start(node) + len(text[start(node) : behind].rstrip())
    return behind


def newline(text: str) -> str:
    """Return the line break that the text uses."""
    found = BREAK.search(text)
    return found[0] if found else _FIRST_BREAK


def line_end(text: str, index: int) -> int:
    """Return where the line ends that an index lies in, before its break."""
    found = BREAK.search(text, index)
    return found.start() if found else len(text)


def at_line_start(text: str, index: int) -> bool:
    """Tell whether a line begins at an index."""
    return index == 0 or text[index - 1] in "\n\r\x85\u2028\u2029"
