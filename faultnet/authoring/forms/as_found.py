"""The form of what is looked at on arrival."""

from faultnet.authoring.collection import MapOf
from faultnet.authoring.form import Form, Key, entries_of
from faultnet.authoring.kind import TERM, TEXT, Choice
from faultnet.authoring.naming import NAME, Id
from faultnet.authoring.nearest import did_you_mean
from faultnet.authoring.node import Node
from faultnet.authoring.schema.book import Book, Schema
from faultnet.authoring.scope import Scope
from faultnet.authoring.when import WHEN
from faultnet.model.as_found import Look, Shown
from faultnet.model.origin import Origin

_ABOUT = Id("finding", "layout")
_SHOWN = Form(
    Shown,
    {
        "title": Key(TEXT, says="What people read: this answer."),
        "says": Key(MapOf(_ABOUT, TERM), {}, says="Findings or layout that the answer amounts to."),
    },
)


class ShownKind:
    """Answers by id, in their order."""

    stand_in: tuple[Shown, ...] = ()

    def read(self, node: Node, scope: Scope) -> tuple[Shown, ...]:
        """Return the answers; each says only what can be answered."""
        read = []
        for name, origin, inner in entries_of(node, scope):
            shown = _SHOWN.read(inner, scope, id=NAME.check(name, origin, scope))
            if shown is not None:
                _tell_unknown(shown, origin, scope)
                read.append(shown)
        return tuple(read)

    def schema(self, book: Book) -> Schema:
        """Return answers with what each says."""
        return book.by_name(_SHOWN.schema(book), without_from=True)


def _tell_unknown(shown: Shown, origin: Origin, scope: Scope) -> None:
    for about, answer in shown.says.items():
        answers = scope.names.answers.get(about)
        known = {*answers, "yes", "no"} if answers else scope.names.values.get(about)
        if known and answer not in known:
            message = f"`{answer[:40]}` is no answer about {about}."
            scope.tell("unknown-value", origin, message, did_you_mean(answer, sorted(known)))


LOOK = Form(
    Look,
    {
        "title": Key(TEXT, says="What people read: what is looked at."),
        "ask": Key(TEXT, says="The question on arrival, before anything is touched."),
        "answers": Key(ShownKind(), (), says="The answers to choose from; these, or a unit."),
        "unit": Key(Choice("psi", ""), "", says="The unit of a number that is typed."),
        "only-when": Key(WHEN, {}, says="The layout under which it is asked."),
    },
    either=("answers", "unit"),
)


def read_look(name: str, origin: Origin, node: Node, scope: Scope) -> Look | None:
    """Return a look; it has answers or a unit, not both and not neither."""
    look = LOOK.read(node, scope, id=name, origin=origin)
    if look and bool(look.answers) == bool(look.unit):
        message = "A look has `answers` to choose from, or a `unit` for a number: one of the two."
        scope.tell("missing-key", origin, message, "Write answers: {...}, or unit: psi.")
    return look
