"""Forms: which keys an entry has, and what value of the model they make."""

from collections.abc import Callable
from typing import Any, Generic, TypeVar

import msgspec

from faultnet.authoring.code import Code
from faultnet.authoring.kind import Kind
from faultnet.authoring.nearest import did_you_mean
from faultnet.authoring.node import Mapping, Node, Scalar
from faultnet.authoring.schema.book import Book, Schema, mapping
from faultnet.authoring.scope import Scope
from faultnet.model.origin import Number, Origin

T = TypeVar("T")


class Required(msgspec.Struct, frozen=True):
    """A key that must stand; ``code`` is told when it does not."""

    code: Code = "missing-key"
    hint: str = ""


class Standing(msgspec.Struct, frozen=True):
    """A number that holds where none is written, with the provenance of its entry."""

    value: float


class Key(msgspec.Struct, frozen=True):
    """A key of a form: the kind of its value and what holds when it is left out.

    ``says`` is what authors are told of it: in the editor, in the guide.
    """

    kind: Kind[Any]
    default: Any = Required()
    attribute: str = ""
    says: str = ""

    def schema(self, book: Book) -> Schema:
        """Return the schema of the value, with what the key says."""
        numbers = book.numbers(getattr(self.kind, "words", ""))
        return {"description": f"{self.says} {numbers}".rstrip(), **self.kind.schema(book)}


class Form(Generic[T]):
    """The keys of an entry; `from` may stand in every form."""

    stand_in = None

    def __init__(
        self,
        make: Callable[..., T],
        keys: dict[str, Key],
        wanted: str = "",
        *,
        either: tuple[str, ...] = (),
    ) -> None:
        """Keep what makes the value, the keys, and the words for what is wanted.

        Of the keys ``either`` at least one must stand; who reads the form tells when none does.
        """
        self.make = make
        self.keys = keys
        self.either = either
        self.wanted = wanted or f"a mapping with {', '.join(list(keys)[:3])}"

    def read(self, node: Node, scope: Scope, **given: object) -> T | None:
        """Return the value, or None when the node is no mapping at all."""
        if not isinstance(node, Mapping):
            scope.wrong_type(node, self.wanted, "Write its keys indented below it.")
            return None
        self.unknown(node, scope)
        scope = scope.nearer(node)
        origin = given.get("origin")
        place = origin if isinstance(origin, Origin) else node.origin
        values = {
            key.attribute or name.replace("-", "_"): self._value(name, key, node, place, scope)
            for name, key in self.keys.items()
        }
        return self.make(**values, **given)

    def schema(self, book: Book) -> Schema:
        """Return a mapping with these keys and `from`, and no others."""
        keys = {name: key.schema(book) for name, key in self.keys.items()}
        must = [name for name, key in self.keys.items() if isinstance(key.default, Required)]
        some = {"anyOf": [{"required": [name]} for name in self.either]} if self.either else {}
        return {**mapping({**keys, "from": book.provenance()}, must), **some}

    def _value(self, name: str, key: Key, node: Mapping, place: Origin, scope: Scope) -> object:
        entry = node.entries.get(name)
        if entry is not None:
            return key.kind.read(entry.node, scope)
        if isinstance(key.default, Required):
            hint = key.default.hint or f"Add a line `{name}: ...`."
            scope.tell(key.default.code, place, f"The key `{name}` is missing.", hint)
            return key.kind.stand_in
        if isinstance(key.default, Standing):
            return Number(key.default.value, place, scope.provenance)
        return key.default

    def unknown(self, node: Mapping, scope: Scope) -> None:
        """Tell the keys that the form does not have."""
        for name, entry in node.entries.items():
            if name not in self.keys and name != "from":
                hint = did_you_mean(name, self.keys)
                if isinstance(entry.node, Scalar) and entry.node.value is None and " " in name:
                    hint = "Inside { } a text with a comma goes in quotes."
                message = f"The key `{name[:40]}` is not known here."
                scope.tell("unknown-key", entry.origin, message, hint)


def entries_of(node: Node | None, scope: Scope) -> list[tuple[str, Origin, Node]]:
    """Return the entries of a section: id, place and value; other than a mapping is told."""
    if node is None:
        return []
    if not isinstance(node, Mapping):
        scope.wrong_type(node, "a mapping of ids to entries")
        return []
    return [(name, entry.origin, entry.node) for name, entry in node.entries.items()]
