"""Kinds of plain values that stand behind a key: text, flag, choice, id, list, mapping."""

from collections.abc import Callable
from typing import Generic, Protocol, TypeVar

from faultnet.authoring.code import Code
from faultnet.authoring.names import is_kebab, not_kebab
from faultnet.authoring.nearest import did_you_mean
from faultnet.authoring.node import Mapping, Node, Scalar, Sequence
from faultnet.authoring.safe_text import tells_to_enter
from faultnet.authoring.scope import Scope
from faultnet.model.origin import Origin

T = TypeVar("T")
T_co = TypeVar("T_co", covariant=True)


class Kind(Protocol[T_co]):
    """Reads a node; what is refused is told, and a stand-in that breaks no rule returned."""

    def read(self, node: Node, scope: Scope) -> T_co:
        """Return the value of a node."""

    @property
    def stand_in(self) -> T_co:
        """The value used where the true one was refused."""


class Term:
    """A word or a few, such as a tool or a unit; never empty."""

    stand_in = ""

    def read(self, node: Node, scope: Scope) -> str:
        """Return the text as it was written."""
        if not isinstance(node, Scalar):
            scope.wrong_type(node, "text", "Text that starts with [ or { goes in quotes.")
            return ""
        if not node.text.strip() or node.value is None:
            scope.wrong_type(node, "text", "Write something, or leave the key out.")
        return node.text.strip()


class Text(Term):
    """Sentences that people are given to read; none sends anybody into a cistern."""

    def read(self, node: Node, scope: Scope) -> str:
        """Return the text; tell when it is unsafe."""
        text = super().read(node, scope)
        if phrase := tells_to_enter(text):
            message = f'The text tells somebody to enter or lean into it: "{phrase}".'
            hint = "Nobody enters or leans into a cistern, tank, well or pit: work from outside."
            scope.tell("unsafe-step", node.origin, message, hint)
        return text


class Flag:
    """Yes or no."""

    stand_in = False

    def read(self, node: Node, scope: Scope) -> bool:
        """Return whether yes is written."""
        answers = {"yes": True, "no": False, "true": True, "false": False}
        if isinstance(node, Scalar) and node.text in answers:
            return answers[node.text]
        scope.wrong_type(node, "yes or no")
        return False


class Switch:
    """On or off."""

    stand_in = True

    def read(self, node: Node, scope: Scope) -> bool:
        """Return whether on is written."""
        if isinstance(node, Scalar) and node.text in ("on", "off"):
            return node.text == "on"
        scope.wrong_type(node, "on or off", "Leave the set-up out when either will do.")
        return True


class Choice:
    """One of a few fixed words."""

    stand_in = ""

    def __init__(self, *words: str) -> None:
        """Keep the words."""
        self.words = words

    def read(self, node: Node, scope: Scope) -> str:
        """Return the word, or an empty text when it is none of them."""
        if not isinstance(node, Scalar):
            scope.wrong_type(node, f"one of {', '.join(self.words)}")
            return ""
        if node.text in self.words:
            return node.text
        message = f"`{node.text[:40]}` is none of the words that can stand here."
        scope.tell("unknown-value", node.origin, message, did_you_mean(node.text, self.words))
        return ""


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

    def __init__(
        self, keys: Callable[[str, Origin, Scope], str], kind: Kind[T | None]
    ) -> None:
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
            self.keys(key, entry.origin, scope): self.kind.read(entry.node, scope)
            for key, entry in node.entries.items()
            if key != "from"
        }
        return {key: value for key, value in read.items() if value is not None}


def any_name(key: str, origin: Origin, scope: Scope) -> str:
    """Read a key that is a name of its own."""
    if not is_kebab(key):
        scope.told.append(not_kebab(key, origin))
    return key


def one_of(*words: str) -> Callable[[str, Origin, Scope], str]:
    """Return the reader of a key that is one of some words."""

    def read(key: str, origin: Origin, scope: Scope) -> str:
        if key not in words:
            hint = did_you_mean(key, words)
            scope.tell("unknown-key", origin, f"The key `{key[:40]}` is not known here.", hint)
        return key

    return read


TERM = Term()
TERMS: ListOf[str] = ListOf(TERM)
TEXT = Text()
TEXTS: ListOf[str] = ListOf(TEXT, distinct=False)
NAME = Name()
FLAG = Flag()
