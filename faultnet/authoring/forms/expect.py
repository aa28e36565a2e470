"""What a case expects to come out."""

import re
from typing import Any

import msgspec

from faultnet.authoring.collection import ListOf, MapOf
from faultnet.authoring.form import Form, Key
from faultnet.authoring.naming import Id
from faultnet.authoring.node import Mapping, Node
from faultnet.authoring.number import PROBABILITY
from faultnet.authoring.schema.book import Book, Schema
from faultnet.authoring.scope import Scope
from faultnet.model.example import Expect
from faultnet.model.origin import Number

CAUSE = Id("cause")
CAUSES = ListOf(CAUSE)
_TOP = re.compile(r"top-([1-9][0-9]?)", re.ASCII)


class WithinKind:
    """The keys top-1 to top-99 with causes, beside the other expectations."""

    def __init__(self, form: Form[Expect]) -> None:
        """Keep the form of the other expectations."""
        self.form = form

    stand_in = Expect()

    def read(self, node: Node, scope: Scope) -> Expect:
        """Return what must come out; nothing at all is told."""
        ranks = _ranks(node)
        others = node
        if isinstance(node, Mapping):
            kept = {key: each for key, each in node.entries.items() if key not in ranks}
            others = Mapping(node.origin, kept)
            if not node.entries:
                message = "The case expects nothing, so it examines nothing."
                scope.tell("missing-key", node.origin, message, "Write first: [...] or another.")
        expect = self.form.read(others, scope) or Expect()
        within = {
            rank: CAUSES.read(node.entries[key].node, scope)
            for key, rank in ranks.items()
            if isinstance(node, Mapping)
        }
        return msgspec.structs.replace(expect, within=within)

    def schema(self, book: Book) -> Schema:
        """Return the expectations, at least one of them."""
        within = {"patternProperties": {f"^{_TOP.pattern}$": CAUSES.schema(book)}}
        return {**self.form.schema(book), **within, "minProperties": 1}


def _ranks(node: Node) -> dict[str, int]:
    keys = node.entries if isinstance(node, Mapping) else {}
    return {key: int(found[1]) for key in keys if (found := _TOP.fullmatch(key))}


class PairsKind:
    """Pairs of causes, the first to come out before the second."""

    stand_in: tuple[tuple[str, str], ...] = ()

    def read(self, node: Node, scope: Scope) -> tuple[tuple[str, str], ...]:
        """Return the pairs."""
        pairs = ListOf(CAUSES).read(node, scope)
        if any(len(pair) != 2 for pair in pairs):
            scope.wrong_type(node, "a list of pairs of causes", "Write [[first, second]].")
        return tuple((pair[0], pair[1]) for pair in pairs if len(pair) == 2)

    def schema(self, book: Book) -> Schema:
        """Return a list of pairs."""
        pair = {"type": "array", "items": CAUSE.schema(book), "minItems": 2, "maxItems": 2}
        return {"type": "array", "items": pair}


def _expect(at_least: dict[str, Number], **values: object) -> Expect:
    others: dict[str, Any] = values
    return Expect(at_least={cause: each.value for cause, each in at_least.items()}, **others)


EXPECT = WithinKind(
    Form(
        _expect,
        {
            "first": Key(CAUSES, (), says="Causes of which one must come out first."),
            "before": Key(
                PairsKind(), (), says="Pairs of causes: the first must come out before the second."
            ),
            "at-least": Key(
                MapOf(CAUSE, PROBABILITY),
                {},
                says="Causes with the probability they must have at least.",
            ),
            "next": Key(
                ListOf(Id("check", "repair")), (), says="Steps of which one must come first."
            ),
            "danger": Key(Id("finding"), "", says="The finding whose danger must be told."),
        },
    )
)
