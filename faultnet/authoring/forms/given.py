"""What a case gives: answers, readings, layout."""

import msgspec

from faultnet.authoring.collection import MapOf
from faultnet.authoring.kind import TERM
from faultnet.authoring.naming import NAME, Id
from faultnet.authoring.nearest import did_you_mean
from faultnet.authoring.node import Mapping, Node, Scalar
from faultnet.authoring.number import ANY_NUMBER
from faultnet.authoring.schema.book import SCALAR, Book, Schema
from faultnet.authoring.scope import Scope
from faultnet.authoring.when import LAYOUT_ID, layout_value
from faultnet.model.evidence import Taken

_FINDING = Id("finding", "circumstance")
_LAYOUT = MapOf(LAYOUT_ID, TERM)
_TAKEN = MapOf(Id("reading"), MapOf(NAME, ANY_NUMBER))


class Given(msgspec.Struct, frozen=True):
    """What was answered: findings, and circumstances."""

    answers: dict[str, str] = {}
    circumstances: dict[str, bool] = {}


class GivenKind:
    """Findings and circumstances to answers."""

    stand_in = Given()

    def read(self, node: Node, scope: Scope) -> Given:
        """Return the answers, findings apart from circumstances."""
        if not isinstance(node, Mapping):
            scope.wrong_type(node, "findings with answers", "Write {no-water: yes}.")
            return Given()
        answers: dict[str, str] = {}
        circumstances: dict[str, bool] = {}
        for name, entry in node.entries.items():
            said = _said(name, entry.node, scope)
            if scope.names.has(name, "circumstance"):
                circumstances[name] = said == "yes"
            elif _FINDING.check(name, entry.origin, scope) in scope.names.answers:
                answers[name] = said
        return Given(answers, circumstances)

    def schema(self, book: Book) -> Schema:
        """Return findings and circumstances with answers."""
        return book.by_name(SCALAR, without_from=True)


def _said(name: str, node: Node, scope: Scope) -> str:
    known = ("yes", "no", *scope.names.answers.get(name, ()))
    if not isinstance(node, Scalar):
        scope.wrong_type(node, "an answer")
        return ""
    if node.text not in known:
        message = f"`{node.text[:40]}` is no answer of `{name[:60]}`."
        scope.tell("unknown-value", node.origin, message, did_you_mean(node.text, known))
    return node.text


class LayoutKind:
    """Layouts to the one value that is known."""

    @property
    def stand_in(self) -> dict[str, str]:
        """Nothing known."""
        return {}

    def read(self, node: Node, scope: Scope) -> dict[str, str]:
        """Return the known values."""
        texts = _LAYOUT.read(node, scope)
        entries = node.entries if isinstance(node, Mapping) else {}
        for layout, value in texts.items():
            layout_value(layout, value, entries[layout].node.origin, scope)
        return texts

    def schema(self, book: Book) -> Schema:
        """Return layouts with the value of each."""
        return _LAYOUT.schema(book)


class TakenKind:
    """Readings to their parts and numbers."""

    stand_in: tuple[Taken, ...] = ()

    def read(self, node: Node, scope: Scope) -> tuple[Taken, ...]:
        """Return the readings that were taken."""
        parts = _TAKEN.read(node, scope)
        return tuple(
            Taken(name, {part: number.value for part, number in each.items()})
            for name, each in parts.items()
        )

    def schema(self, book: Book) -> Schema:
        """Return readings with their parts."""
        return _TAKEN.schema(book)
