"""Kinds of names: new ones in kebab-case, and ids of entries that stand in some file."""

from typing import Protocol

from faultnet.authoring.code import Code
from faultnet.authoring.names import is_kebab, not_kebab
from faultnet.authoring.nearest import did_you_mean
from faultnet.authoring.node import Node, Scalar
from faultnet.authoring.schema.book import KEBAB, SCALAR, Book, Schema
from faultnet.authoring.scope import Scope
from faultnet.model.origin import Origin


class KeyKind(Protocol):
    """Reads the keys of a mapping."""

    def check(self, name: str, origin: Origin, scope: Scope) -> str:
        """Return the key; tell what is wrong with it."""

    def keyed(self, value: Schema, book: Book) -> Schema:
        """Return the schema of a mapping of such keys to values."""


class Name:
    """A new name in kebab-case."""

    stand_in = ""

    def read(self, node: Node, scope: Scope) -> str:
        """Return the name."""
        if not isinstance(node, Scalar) or not node.text:
            scope.wrong_type(node, "a name")
            return ""
        return self.check(node.text, node.origin, scope)

    def check(self, name: str, origin: Origin, scope: Scope) -> str:
        """Return the name of a key; tell when it is not in kebab-case."""
        if not is_kebab(name):
            scope.told.append(not_kebab(name, origin))
        return name

    def schema(self, _book: Book) -> Schema:
        """Return a text in kebab-case."""
        return {**SCALAR, "pattern": KEBAB}

    def keyed(self, value: Schema, book: Book) -> Schema:
        """Return names with values."""
        return book.by_name(value)


class Id:
    """The id of an entry of one of some kinds that stands in some file."""

    stand_in = ""

    def __init__(self, *kinds: str) -> None:
        """Keep the kinds."""
        self.kinds = kinds

    def read(self, node: Node, scope: Scope) -> str:
        """Return the id, also when nothing has it."""
        if not isinstance(node, Scalar) or not node.text:
            scope.wrong_type(node, f"the id of a {' or '.join(self.kinds)}")
            return ""
        return self.check(node.text, node.origin, scope)

    def check(self, name: str, origin: Origin, scope: Scope) -> str:
        """Return the id; tell when nothing of the kinds has it."""
        names = scope.names
        if names.has(name, *self.kinds) or not names.whole:
            return name
        kinds = " or ".join(self.kinds)
        if other := names.kind_of(name):
            message = f"`{name[:60]}` is a {other}, but a {kinds} is wanted here."
            scope.tell("unknown-id", origin, message, f"Put it where a {other} belongs.")
        else:
            code: Code = "unknown-source" if self.kinds == ("source",) else "unknown-id"
            message = f"There is no {kinds} `{name[:60]}`."
            scope.tell(code, origin, message, did_you_mean(name, names.known(*self.kinds)))
        return name

    def schema(self, book: Book) -> Schema:
        """Return a text in kebab-case; which ids there are is the loader's to say."""
        return NAME.schema(book)

    def keyed(self, value: Schema, book: Book) -> Schema:
        """Return ids with values."""
        return book.by_name(value)


class OneOf:
    """One of a few fixed words, as a key."""

    def __init__(self, *words: str) -> None:
        """Keep the words."""
        self.words = words

    def check(self, name: str, origin: Origin, scope: Scope) -> str:
        """Return the word; tell when it is none of them."""
        if name not in self.words:
            hint = did_you_mean(name, self.words)
            scope.tell("unknown-key", origin, f"The key `{name[:40]}` is not known here.", hint)
        return name

    def keyed(self, value: Schema, book: Book) -> Schema:
        """Return the words with values."""
        return book.by_key(self.words, value)


NAME = Name()
