"""Conditions on the layout: `when` and `only-when`."""

from faultnet.authoring.naming import Id
from faultnet.authoring.nearest import did_you_mean
from faultnet.authoring.node import Mapping, Node, Scalar, Sequence
from faultnet.authoring.schema.book import SCALAR, Book, Schema
from faultnet.authoring.scope import Scope
from faultnet.model.condition import When
from faultnet.model.origin import Origin


class WhenKind:
    """Layout ids to one value or a list of values."""

    @property
    def stand_in(self) -> When:
        """No condition."""
        return {}

    def read(self, node: Node, scope: Scope) -> When:
        """Return the condition; a single value counts as a list of one."""
        if not isinstance(node, Mapping):
            scope.wrong_type(node, "layout with values", "Write {source-level: below-pump}.")
            return {}
        return {
            LAYOUT_ID.check(layout, entry.origin, scope): _values(layout, entry.node, scope)
            for layout, entry in node.entries.items()
        }

    def schema(self, book: Book) -> Schema:
        """Return layouts with one value or a list of values."""
        values = {"anyOf": [SCALAR, {"type": "array", "items": SCALAR, "minItems": 1}]}
        return book.named("when", book.by_name(values, without_from=True))


def overlap(first: When, second: When) -> bool:
    """Tell whether two conditions can hold together."""
    shared = first.keys() & second.keys()
    return all(set(first[layout]) & set(second[layout]) for layout in shared)


def layout_value(layout: str, name: str, origin: Origin, scope: Scope) -> str:
    """Return the value of a layout; tell when the layout has no such value."""
    values = scope.names.values.get(layout)
    if values is not None and name not in values:
        message = f"The layout `{layout}` has no value `{name[:40]}`."
        scope.tell("unknown-value", origin, message, did_you_mean(name, values))
    return name


def _values(layout: str, node: Node, scope: Scope) -> tuple[str, ...]:
    items = node.items if isinstance(node, Sequence) else (node,)
    values = tuple(
        layout_value(layout, item.text, item.origin, scope)
        for item in items
        if isinstance(item, Scalar) and item.text
    )
    if len(values) != len(items) or not values:
        scope.wrong_type(node, f"a value of {layout} or a list of values")
    return values


LAYOUT_ID = Id("layout")
WHEN = WhenKind()
