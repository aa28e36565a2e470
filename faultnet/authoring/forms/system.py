"""The form of a system."""

import msgspec

from faultnet.authoring.collection import ListOf, MapOf
from faultnet.authoring.form import Form, Key
from faultnet.authoring.forms.cause import ShowsKind
from faultnet.authoring.forms.layout import normalised
from faultnet.authoring.kind import TEXT, Choice
from faultnet.authoring.naming import NAME, Id
from faultnet.authoring.node import Mapping, Node
from faultnet.authoring.number import AMOUNT, HOW_COMMON, LIKELIHOOD
from faultnet.authoring.schema.book import Book, Schema
from faultnet.authoring.scope import Scope
from faultnet.authoring.when import LAYOUT_ID, layout_value
from faultnet.model.layout import Circumstance, Layout
from faultnet.model.origin import Number
from faultnet.model.system import Specialist, System, Unlisted

_SPECIALIST = Form(
    Specialist,
    {
        "title": Key(TEXT, says="What people read: the specialist takes over."),
        "minutes": Key(AMOUNT, says="Minutes that the specialist takes."),
    },
)
_UNLISTED = Form(
    Unlisted,
    {
        "how-common": Key(
            HOW_COMMON, says="How often the cause of a trouble call stands in no file."
        ),
        "shows": Key(ShowsKind(), (), says="Findings that an unlisted cause produces."),
    },
)


class PriorsKind:
    """Layouts to values with how likely each is; values left out cannot be here."""

    @property
    def stand_in(self) -> dict[str, dict[str, Number]]:
        """Nothing said."""
        return {}

    def read(self, node: Node, scope: Scope) -> dict[str, dict[str, Number]]:
        """Return the priors by layout, each summing to 1."""
        if not isinstance(node, Mapping):
            scope.wrong_type(node, "layouts with values", "Write `tank: {plain: 1}` lines.")
            return {}
        scope = scope.nearer(node)
        return {
            LAYOUT_ID.check(name, entry.origin, scope): _priors(name, entry.node, scope)
            for name, entry in node.entries.items()
            if name != "from"
        }

    def schema(self, book: Book) -> Schema:
        """Return layouts with values, each with how likely it is."""
        return book.by_name(book.by_name(LIKELIHOOD.schema(book)))


def _priors(layout: str, node: Node, scope: Scope) -> dict[str, Number]:
    if not isinstance(node, Mapping):
        scope.wrong_type(node, f"values of {layout} with numbers", "Write {value: 1}.")
        return {}
    scope = scope.nearer(node)
    read = {
        layout_value(layout, value, entry.origin, scope): LIKELIHOOD.read(entry.node, scope)
        for value, entry in node.entries.items()
        if value != "from"
    }
    possible = {value: prior for value, prior in read.items() if prior.value != 0}
    return normalised(possible, node.origin, scope)


SYSTEM = Form(
    System,
    {
        "system": Key(NAME, attribute="id", says="The id of the system, as the file is called."),
        "title": Key(TEXT, says="What people read: the kind of installation."),
        "about": Key(TEXT, "", says="A few sentences on what it is."),
        "parts": Key(ListOf(Id("part")), says="The parts it is built of."),
        "layout": Key(
            PriorsKind(),
            {},
            says="How likely each value is here before anyone has looked; values left out "
            "cannot be.",
        ),
        "circumstances": Key(
            MapOf(Id("circumstance"), LIKELIHOOD),
            {},
            says="How often they are so here, where it differs from circumstances.yaml.",
        ),
        "faults": Key(
            Choice("several", "one"),
            "several",
            says="Several is normal; one serves published problems.",
        ),
        "specialist": Key(_SPECIALIST, says="What it takes when the specialist takes over."),
        "unlisted": Key(_UNLISTED, says="Something that stands in no file."),
    },
)


def read_system(
    node: Mapping,
    layouts: dict[str, Layout],
    circumstances: dict[str, Circumstance],
    scope: Scope,
) -> System | None:
    """Return a system; what it leaves open stands as in layout and circumstances."""
    system = SYSTEM.read(node, scope, origin=node.origin)
    if system is None:
        return None
    usual = {
        name: {value.id: value.prior for value in layout.values if value.prior.value != 0}
        for name, layout in layouts.items()
    }
    return msgspec.structs.replace(
        system,
        layout={**usual, **system.layout},
        circumstances={
            **{name: each.prior for name, each in circumstances.items()},
            **system.circumstances,
        },
        specialist=system.specialist or Specialist("", AMOUNT.stand_in),
        unlisted=system.unlisted or Unlisted(AMOUNT.stand_in, ()),
    )
