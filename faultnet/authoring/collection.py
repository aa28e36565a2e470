"""Kinds of lists and mappings."""

from typing import Generic, TypeVar

from faultnet.authoring.kind import TERM, TEXT, Kind
from faultnet.authoring.naming import KeyKind
from faultnet.authoring.node import Mapping, Node, Scalar, Sequence
from faultnet.authoring.schema.book import Book, Schema, one_or_more
from faultnet.authoring.scope import Scope

T = TypeVar("T")


class ListOf(Generic[T]):
    """Values in order; a single one may stand without brackets."""

    stand_in: tuple[T, ...] = ()

    def __init__(self, kind: Kind[T | None], *, distinct: bool = True) -> None:
        """Keep the kind of the items, and whether the same may not stand twice."""
        self.kind = kind
        self.distinct = distinct

    def read(self, node: Node, scope: Scope) -> tuple[T, ...]:
        """Return the items without those that were refused altogether."""
        items = node.items if isinstance(node, Sequence) else (node,)
        values = [value for item in items if (value := self.kind.read(item, scope)) is not None]
        if self.distinct:
            self._tell_twice(items, scope)
        return tuple(values)

    def schema(self, book: Book) -> Schema:
        """Return a list of the items, or one of them."""
        return one_or_more(self.kind.schema(book), distinct=self.distinct)

    def _tell_twice(self, items: tuple[Node, ...], scope: Scope) -> None:
        seen: set[str] = set()
        for item in items:
            if isinstance(item, Scalar) and item.text in seen:
                message = f"`{item.text[:40]}` stands twice in the list."
                scope.tell("duplicate-item", item.origin, message, "Remove one of the two.")
            elif isinstance(item, Scalar):
                seen.add(item.text)


class MapOf(Generic[T]):
    """Values by id or name."""

    def __init__(self, keys: KeyKind, kind: Kind[T | None]) -> None:
        """Keep what reads a key and the kind of the values."""
        self.keys = keys
        self.kind = kind

    @property
    def stand_in(self) -> dict[str, T]:
        """An empty mapping."""
        return {}

    def read(self, node: Node, scope: Scope) -> dict[str, T]:
        """Return the values by key."""
        if not isinstance(node, Mapping):
            scope.wrong_type(node, "a mapping", "Write `name: value` lines, or {name: value}.")
            return {}
        scope = scope.nearer(node)
        read = {
            self.keys.check(key, entry.origin, scope): self.kind.read(entry.node, scope)
            for key, entry in node.entries.items()
            if key != "from"
        }
        return {key: value for key, value in read.items() if value is not None}

    def schema(self, book: Book) -> Schema:
        """Return the keys with the values."""
        return self.keys.keyed(self.kind.schema(book), book)


TERMS: ListOf[str] = ListOf(TERM)
TEXTS: ListOf[str] = ListOf(TEXT, distinct=False)
