"""The forms of layout and circumstances."""

import math

import msgspec

from faultnet.authoring.collection import TERMS
from faultnet.authoring.form import Form, Key, entries_of
from faultnet.authoring.kind import TEXT
from faultnet.authoring.naming import NAME
from faultnet.authoring.node import Node
from faultnet.authoring.number import LIKELIHOOD
from faultnet.authoring.schema.book import Book, Schema
from faultnet.authoring.scope import Scope
from faultnet.model.layout import Circumstance, Layout, LayoutValue
from faultnet.model.origin import Number, Origin

_VALUE = Form(
    LayoutValue,
    {
        "title": Key(TEXT, says="What people read: this value of the layout."),
        "prior": Key(
            LIKELIHOOD, says="How likely it is before anybody has looked; all values come to 1."
        ),
    },
)
_SLACK = 0.01


class ValuesKind:
    """Values of a layout with their priors."""

    stand_in: tuple[LayoutValue, ...] = ()

    def read(self, node: Node, scope: Scope) -> tuple[LayoutValue, ...]:
        """Return the values in their order, with priors that sum to 1."""
        values = [
            _VALUE.read(inner, scope, id=NAME.check(name, origin, scope))
            for name, origin, inner in entries_of(node, scope)
        ]
        kept = [value for value in values if value]
        priors = normalised({value.id: value.prior for value in kept}, node.origin, scope)
        return tuple(msgspec.structs.replace(value, prior=priors[value.id]) for value in kept)

    def schema(self, book: Book) -> Schema:
        """Return values with their titles and priors."""
        return book.by_name(_VALUE.schema(book), without_from=True)


def normalised(priors: dict[str, Number], origin: Origin, scope: Scope) -> dict[str, Number]:
    """Return priors that sum to 1; a sum further from 1 than 0.01 is told."""
    total = math.fsum(prior.value for prior in priors.values())
    if abs(total - 1) > _SLACK:
        message = f"How likely the values are comes to {total:g}, not to 1."
        scope.tell("priors-do-not-sum", origin, message, "Change them until they come to 1.")
        return priors
    return {
        value: msgspec.structs.replace(prior, value=prior.value / total)
        for value, prior in priors.items()
    }


LAYOUT = Form(
    Layout,
    {
        "title": Key(TEXT, says="What people read: the fact of the installation."),
        "ask": Key(TEXT, says="The question to a technician."),
        "ask-caller": Key(
            TEXT, "", says="The question to a caller; left out where a caller cannot tell."
        ),
        "values": Key(
            ValuesKind(), says="What it can be, each value with its title and how likely it is."
        ),
    },
)
CIRCUMSTANCE = Form(
    Circumstance,
    {
        "title": Key(TEXT, says="What people read: what happened just before."),
        "ask": Key(TEXT, says="The question to a technician."),
        "ask-caller": Key(TEXT, "", says="The question to a caller."),
        "prior": Key(
            LIKELIHOOD, says="How often it is so on any trouble call, whatever the cause."
        ),
        "words": Key(TERMS, (), says="How people say it, for searching."),
    },
)
