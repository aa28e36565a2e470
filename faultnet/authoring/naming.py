"""Kinds of names: new ones in kebab-case, and ids of entries that stand in some file."""

from collections.abc import Callable

from faultnet.authoring.code import Code
from faultnet.authoring.names import is_kebab, not_kebab
from faultnet.authoring.nearest import did_you_mean
from faultnet.authoring.node import Node, Scalar
from faultnet.authoring.scope import Scope
from faultnet.model.origin import Origin

ReadKey = Callable[[str, Origin, Scope], str]
"""Reads the key of a mapping: its text, its place."""


class Name:
    """A new name in kebab-case."""

    stand_in = ""

    def read(self, node: Node, scope: Scope) -> str:
        """Return the name."""
        if not isinstance(node, Scalar) or not node.text:
            scope.wrong_type(node, "a name")
            return ""
        if not is_kebab(node.text):
            scope.told.append(not_kebab(node.text, node.origin))
        return node.text


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


def any_name(key: str, origin: Origin, scope: Scope) -> str:
    """Read a key that is a name of its own."""
    if not is_kebab(key):
        scope.told.append(not_kebab(key, origin))
    return key


def one_of(*words: str) -> ReadKey:
    """Return the reader of a key that is one of some words."""

    def read(key: str, origin: Origin, scope: Scope) -> str:
        if key not in words:
            hint = did_you_mean(key, words)
            scope.tell("unknown-key", origin, f"The key `{key[:40]}` is not known here.", hint)
        return key

    return read


NAME = Name()
