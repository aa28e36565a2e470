"""Kinds of plain values that stand behind a key: text, flag, choice, id, list, mapping."""

from typing import Protocol, TypeVar

from faultnet.authoring.nearest import did_you_mean
from faultnet.authoring.node import Node, Scalar
from faultnet.authoring.safe_text import tells_to_enter
from faultnet.authoring.schema.book import SCALAR, Book, Schema
from faultnet.authoring.scope import Scope

T = TypeVar("T")
T_co = TypeVar("T_co", covariant=True)


class Kind(Protocol[T_co]):
    """Reads a node; what is refused is told, and a stand-in that breaks no rule returned."""

    def read(self, node: Node, scope: Scope) -> T_co:
        """Return the value of a node."""

    @property
    def stand_in(self) -> T_co:
        """The value used where the true one was refused."""

    def schema(self, book: Book) -> Schema:
        """Return what an editor is told of the value; it never refuses what is read."""


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

    def schema(self, _book: Book) -> Schema:
        """Return any text."""
        return SCALAR


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

    def schema(self, _book: Book) -> Schema:
        """Return the two words; YAML may read them as true and false."""
        return {"enum": ["yes", "no", True, False]}


class Switch:
    """On or off."""

    stand_in = True

    def read(self, node: Node, scope: Scope) -> bool:
        """Return whether on is written."""
        if isinstance(node, Scalar) and node.text in ("on", "off"):
            return node.text == "on"
        scope.wrong_type(node, "on or off", "Leave the set-up out when either will do.")
        return True

    def schema(self, _book: Book) -> Schema:
        """Return the two words."""
        return {"enum": ["on", "off"]}


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

    def schema(self, _book: Book) -> Schema:
        """Return the words."""
        return {"enum": list(self.words)}


TERM = Term()
TEXT = Text()
FLAG = Flag()
