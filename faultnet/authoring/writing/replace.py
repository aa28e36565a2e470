"""Put another value in the place of one; every other letter stays as it is."""

from collections.abc import Iterator

import yaml

from faultnet.authoring.node import Mapping, Node, Plain, Sequence, Value
from faultnet.authoring.writing import spot
from faultnet.authoring.writing.insert import MARK, below, in_brackets, read, same
from faultnet.authoring.writing.spot import CannotWriteHereError
from faultnet.authoring.writing.written import beside, scalar
from faultnet.model.origin import Number, Origin


def replace_scalar(text: str, origin: Origin, new: Plain) -> str:
    """Return the text with a new value in place of the single one at a place.

    Raises ``CannotWriteHereError`` where no single value begins there.
    """
    return _replaced(text, origin, scalar(new), new)


def replace_number(text: str, number: Number, new: Plain, provenance: tuple[str, ...]) -> str:
    """Return the text with a number, or a word for one, in the place of an authored number.

    It says where it comes from unless what stands above says the same: `0.3` becomes
    `{is: 0.25, from: practice}`, and a `from` beside the number is replaced with it.
    """
    mark, inner = _without_mark(text)
    around = _around(inner, number.origin)
    if around is not None:
        return mark + _with_from(inner, around, number.origin, new, provenance)
    if number.provenance == provenance:
        return replace_scalar(text, number.origin, new)
    whole: Value = {"is": new, "from": _from(provenance)}
    return _replaced(text, number.origin, beside(whole), whole)


def _replaced(text: str, origin: Origin, written: str, new: Value) -> str:
    mark, inner = _without_mark(text)
    node = _at(inner, origin)
    start, end = spot.start(node), spot.end(inner, node)
    if node.style in ("|", ">"):
        end = start + len(inner[start:end].rstrip())
    space = "" if start == 0 or inner[start - 1] in " \t[{" else " "
    result = inner[:start] + space + written + inner[end:]
    return mark + _sure(inner, result, (origin.line, origin.column), new)


def _with_from(
    text: str, around: yaml.MappingNode, origin: Origin, new: Plain, provenance: tuple[str, ...]
) -> str:
    """Return the text with both the number and the `from` beside it replaced."""
    whole = beside(_from(provenance))
    source = spot.child(around, "from")
    changes: list[tuple[yaml.Node, str]] = [(_at(text, origin), scalar(new))]
    result = text
    if source is not None:
        changes.append((source, whole))
    elif around.flow_style:
        result = in_brackets(text, around, f"from: {whole}")
    else:
        result = below(text, around, [f"{' ' * spot.column(around)}from: {whole}"])
    for node, written in sorted(changes, key=lambda change: -spot.start(change[0])):
        result = result[: spot.start(node)] + written + result[spot.end(text, node) :]
    return _sure(text, result, spot.place(around), {"is": new, "from": _from(provenance)})


def _from(provenance: tuple[str, ...]) -> Value:
    return provenance[0] if len(provenance) == 1 else list(provenance)


def _sure(text: str, result: str, place: tuple[int, int], new: Value) -> str:
    """Return the result if it says what the text said, but for the value at a place."""
    if not same(result, _but_for(read(text), place, new)):
        raise CannotWriteHereError("The value is laid out in a way that cannot be replaced safely.")
    return result


def _but_for(node: Node, place: tuple[int, int], new: Value) -> Value:
    """Return what a node holds, with another value at a place."""
    if isinstance(node, Mapping):
        if (node.origin.line, node.origin.column) == place:
            return new
        return {key: _but_for(each.node, place, new) for key, each in node.entries.items()}
    if isinstance(node, Sequence):
        return [_but_for(item, place, new) for item in node.items]
    return new if (node.origin.line, node.origin.column) == place else node.value


def _without_mark(text: str) -> tuple[str, str]:
    return (MARK, text[1:]) if text.startswith(MARK) else ("", text)


def _at(text: str, origin: Origin) -> yaml.ScalarNode:
    for node in _scalars(spot.top_of(text)):
        if spot.place(node) == (origin.line, origin.column):
            return node
    raise CannotWriteHereError(f"At {origin} begins no single value; the file has changed.")


def _scalars(node: yaml.Node) -> Iterator[yaml.ScalarNode]:
    """Yield the single values of a tree, keys left out."""
    if isinstance(node, yaml.ScalarNode):
        yield node
    elif isinstance(node, yaml.MappingNode):
        for _, value in node.value:
            yield from _scalars(value)
    else:
        for each in node.value:
            yield from _scalars(each)


def _around(text: str, origin: Origin) -> yaml.MappingNode | None:
    """Return the mapping with `is` and perhaps `from` that a number stands in."""
    waiting = [spot.top_of(text)]
    while waiting:
        node = waiting.pop()
        if isinstance(node, yaml.MappingNode):
            for key, value in node.value:
                here = spot.place(value) == (origin.line, origin.column)
                if key.value == "is" and here and isinstance(value, yaml.ScalarNode):
                    return node
                waiting.append(value)
        elif isinstance(node, yaml.SequenceNode):
            waiting += node.value
    return None
