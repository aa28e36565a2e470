"""The form of the file that says what entries and answers were called before."""

import datetime as dt

import msgspec

from faultnet.authoring.collection import MapOf
from faultnet.authoring.form import Form, Key
from faultnet.authoring.naming import NAME, Id
from faultnet.authoring.node import Mapping, Node, Scalar
from faultnet.authoring.schema.book import SCALAR, Book, Schema
from faultnet.authoring.scope import Scope
from faultnet.model.origin import Origin
from faultnet.model.renamed import Renamed

SECTIONS = {
    "systems": "system",
    "causes": "cause",
    "findings": "finding",
    "checks": "check",
    "repairs": "repair",
    "set-ups": "set-up",
    "readings": "reading",
    "layout": "layout",
    "circumstances": "circumstance",
    "stock": "item",
}
"""Sections of the file to the kind of the entries that were renamed."""


class To(msgspec.Struct, frozen=True):
    """What something is called now, and since which day."""

    to: str
    since: str
    origin: Origin


class Day:
    """A day, year first."""

    stand_in = ""

    def read(self, node: Node, scope: Scope) -> str:
        """Return the day as it was written."""
        text = node.text if isinstance(node, Scalar) else ""
        try:
            return dt.date.fromisoformat(text).isoformat()
        except ValueError:
            hint = "Write year, month and day: 2026-03-01."
            scope.tell("unknown-value", node.origin, "Here stands no day.", hint)
            return ""

    def schema(self, _book: Book) -> Schema:
        """Return a text that begins with a year."""
        return {**SCALAR, "pattern": r"^\d{4}-\d\d-\d\d$"}


class Moved:
    """What something is called now."""

    stand_in = None

    def read(self, node: Node, scope: Scope) -> To | None:
        """Return the new name with its place, or None when the node is no mapping."""
        to = node.entries.get("to") if isinstance(node, Mapping) else None
        return _TO.read(node, scope, origin=to.node.origin if to else node.origin)

    def schema(self, book: Book) -> Schema:
        """Return the keys."""
        return book.named("renamed", _TO.schema(book))


_TO = Form(
    To,
    {
        "to": Key(NAME, says="What it is called now."),
        "since": Key(Day(), "", says="The day of the change."),
    },
)
_MOVED: MapOf[To] = MapOf(NAME, Moved())


def _together(answers: dict[str, dict[str, To]], **ids: dict[str, To]) -> tuple[Renamed, ...]:
    entries = (
        Renamed(kind, old, now.to, now.origin, since=now.since)
        for kind, names in ids.items()
        for old, now in names.items()
        if now.to
    )
    said = (
        Renamed("answer", old, now.to, now.origin, of, now.since)
        for of, names in answers.items()
        for old, now in names.items()
        if now.to
    )
    return (*entries, *said)


RENAMED = Form(
    _together,
    {
        **{
            section: Key(_MOVED, {}, attribute=kind, says="Earlier ids, each with that of today.")
            for section, kind in SECTIONS.items()
        },
        "answers": Key(
            MapOf(Id("finding", "layout"), _MOVED),
            {},
            says="Findings and layouts with earlier answers or values, each with that of today.",
        ),
    },
)
