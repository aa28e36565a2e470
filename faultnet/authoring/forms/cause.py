"""The form of a cause."""

from faultnet.authoring.collection import ListOf
from faultnet.authoring.form import Form, Key, Required
from faultnet.authoring.kind import FLAG, TEXT
from faultnet.authoring.naming import Id
from faultnet.authoring.nearest import did_you_mean
from faultnet.authoring.node import Mapping, Node, Scalar
from faultnet.authoring.number import FACTOR, HOW_COMMON, LIKELIHOOD
from faultnet.authoring.schema.book import Book, Schema
from faultnet.authoring.scope import Scope
from faultnet.authoring.strength import links, links_schema
from faultnet.authoring.when import WHEN, layout_value
from faultnet.model.cause import Cause, Factor, LeadsTo, Shows
from faultnet.model.origin import Origin

CAUSE_ID = Id("cause")
FINDING_ID = Id("finding")
ADVICE = "advice"


class ShowsKind:
    """Findings to strengths."""

    stand_in: tuple[Shows, ...] = ()

    def read(self, node: Node, scope: Scope) -> tuple[Shows, ...]:
        """Return the links in their order."""
        if not isinstance(node, Mapping):
            scope.wrong_type(node, "findings with strengths", "Write `finding: often` lines.")
            return ()
        scope = scope.nearer(node)
        return tuple(
            Shows(
                FINDING_ID.check(name, entry.origin, scope), link.strength, link.when, link.origin
            )
            for name, entry in node.entries.items()
            if name != "from"
            for link in links(name, entry.node, entry.origin, scope)
        )

    def schema(self, book: Book) -> Schema:
        """Return findings with strengths."""
        return links_schema(book)


class LikelierKind:
    """Circumstances to a factor, layouts to a factor per value."""

    stand_in: tuple[Factor, ...] = ()

    def read(self, node: Node, scope: Scope) -> tuple[Factor, ...]:
        """Return the factors in their order."""
        if not isinstance(node, Mapping):
            scope.wrong_type(node, "circumstances with factors", "Write {after-freeze: 10}.")
            return ()
        scope = scope.nearer(node)
        return tuple(
            factor
            for name, entry in node.entries.items()
            if name != "from"
            for factor in _factors(name, entry.node, entry.origin, scope)
        )

    def schema(self, book: Book) -> Schema:
        """Return circumstances with a factor, layouts with a factor for each value."""
        one = FACTOR.schema(book)
        return book.by_name({"anyOf": [one, book.by_name(one)]})


def _factors(name: str, node: Node, origin: Origin, scope: Scope) -> list[Factor]:
    per_value = isinstance(node, Mapping) and "is" not in node.entries
    if scope.names.has(name, "circumstance") and not per_value:
        return [Factor(name, "yes", FACTOR.read(node, scope))]
    if scope.names.has(name, "layout"):
        return _per_value(name, node, scope)
    if scope.names.has(name, "circumstance"):
        scope.wrong_type(node, "one factor", f"Write {name}: 3.")
    elif scope.names.whole:
        known = scope.names.known("circumstance", "layout")
        kind = scope.names.kind_of(name)
        message = f"There is no circumstance or layout `{name[:60]}`."
        hint = f"It is a {kind}." if kind else did_you_mean(name, known)
        scope.tell("factor-on-unknown-layout", origin, message, hint)
    return []


def _per_value(layout: str, node: Node, scope: Scope) -> list[Factor]:
    if not isinstance(node, Mapping):
        scope.wrong_type(node, "a factor for each value", f"Write {layout}: {{value: 3}}.")
        return []
    scope = scope.nearer(node)
    return [
        Factor(
            layout, layout_value(layout, value, entry.origin, scope), FACTOR.read(entry.node, scope)
        )
        for value, entry in node.entries.items()
        if value != "from"
    ]


class LeadsToKind:
    """Causes to how often they are brought along, or to the word advice."""

    stand_in: tuple[LeadsTo, ...] = ()

    def read(self, node: Node, scope: Scope) -> tuple[LeadsTo, ...]:
        """Return the arcs in their order."""
        if not isinstance(node, Mapping):
            scope.wrong_type(node, "causes with a likelihood", "Write {cause: sometimes}.")
            return ()
        scope = scope.nearer(node)
        return tuple(
            LeadsTo(
                CAUSE_ID.check(name, entry.origin, scope),
                None if _is_advice(entry.node) else LIKELIHOOD.read(entry.node, scope),
                entry.origin,
            )
            for name, entry in node.entries.items()
            if name != "from"
        )

    def schema(self, book: Book) -> Schema:
        """Return causes with a likelihood or the word advice."""
        return book.by_name({"anyOf": [LIKELIHOOD.schema(book), {"const": ADVICE}]})


def _is_advice(node: Node) -> bool:
    return isinstance(node, Scalar) and node.text == ADVICE


_NO_REPAIR = Required("cause-without-repair", "Add a line `repair: ...` with the id of a repair.")

CAUSE = Form(
    Cause,
    {
        "title": Key(
            TEXT,
            says="What people read: the fault in a few words of the trade. Foot valve leaks "
            "slowly.",
        ),
        "how-common": Key(
            HOW_COMMON,
            says="How often it is behind a trouble call, when none of its circumstances "
            "holds: a word, or a number such as 0.02 for one call in fifty.",
        ),
        "shows": Key(
            ShowsKind(),
            (),
            says="The findings it produces, each with how often the cause alone brings it. "
            "What it does not produce is not listed, and neither is what only follows "
            "from another finding.",
        ),
        "repair": Key(Id("repair"), _NO_REPAIR, says="The id of the repair that ends it."),
        "only-when": Key(
            WHEN,
            {},
            says="The layout it needs; where the installation is laid out otherwise it is "
            "impossible.",
        ),
        "likelier-when": Key(
            LikelierKind(),
            (),
            says="What makes it likelier, as a factor on the odds: 3 is a clear hint, 10 a "
            "strong one. Circumstances with a factor, or a layout with a factor for "
            "each value.",
        ),
        "leads-to": Key(
            LeadsToKind(),
            (),
            says="Causes that it brings along in time, with how often it has done so when "
            "the call comes; advice moves no number and only says to look one link "
            "further.",
        ),
        "audit": Key(
            FLAG,
            default=False,
            says="Yes for what is worth reporting even where it explains nothing.",
        ),
        "note": Key(TEXT, "", says="A remark for whoever reads the cause."),
        "seen-in": Key(
            ListOf(Id("source")), (), says="Sources in sources.yaml that know this cause."
        ),
    },
)
