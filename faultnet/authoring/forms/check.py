"""The form of a check and of what it looks for."""

import msgspec

from faultnet.authoring.collection import ListOf
from faultnet.authoring.form import Form, Key
from faultnet.authoring.forms.work import WORK_KEYS, work_of
from faultnet.authoring.kind import TEXT
from faultnet.authoring.naming import Id
from faultnet.authoring.node import Mapping, Node
from faultnet.authoring.number import LIKELIHOOD
from faultnet.authoring.schema.book import Book, Schema
from faultnet.authoring.scope import Scope
from faultnet.authoring.when import WHEN
from faultnet.model.check import Check
from faultnet.model.condition import When
from faultnet.model.origin import Number, Origin

CAUSE_ID = Id("cause")


class Look(msgspec.Struct, frozen=True):
    """A cause that a check would show outright; no false alarm means the usual one."""

    cause: str
    strength: Number
    origin: Origin
    false_alarm: Number | None = None
    when: When = {}


class Looking(msgspec.Struct, frozen=True):
    """A check with what it looks for; the check reveals the findings made of that later."""

    check: Check
    looks: tuple[Look, ...]


_LOOK = Form(
    Look,
    {
        "strength": Key(LIKELIHOOD, says="How often the look shows the cause when it is there."),
        "false-alarm": Key(
            LIKELIHOOD,
            None,
            says="How often one believes to see it when it is not there; without it, the "
            "usual of words.yaml.",
        ),
        "when": Key(WHEN, {}, says="The layout under which the look shows it."),
    },
)


class LooksKind:
    """Causes to the chance that the look shows them."""

    stand_in: tuple[Look, ...] = ()

    def read(self, node: Node, scope: Scope) -> tuple[Look, ...]:
        """Return the looks in their order."""
        if not isinstance(node, Mapping):
            scope.wrong_type(node, "causes with strengths", "Write {cause: almost-always}.")
            return ()
        scope = scope.nearer(node)
        looks = [
            _look(CAUSE_ID.check(cause, entry.origin, scope), entry.node, entry.origin, scope)
            for cause, entry in node.entries.items()
            if cause != "from"
        ]
        return tuple(look for look in looks if look)

    def schema(self, book: Book) -> Schema:
        """Return causes with a likelihood, or with all that the look says of them."""
        return book.by_name({"anyOf": [LIKELIHOOD.schema(book), _LOOK.schema(book)]})


def _look(cause: str, node: Node, origin: Origin, scope: Scope) -> Look | None:
    if isinstance(node, Mapping) and "is" not in node.entries:
        return _LOOK.read(node, scope, cause=cause, origin=origin)
    return Look(cause, LIKELIHOOD.read(node, scope), origin)


def _looking(looks_for: tuple[Look, ...], **values: object) -> Looking:
    work, others = work_of(values)
    return Looking(Check(work=work, **others), looks_for)


CHECK = Form(
    _looking,
    {
        "title": Key(
            TEXT,
            says="What people read: the thing to do, in a few words. Look at the valve from "
            "the rim.",
        ),
        "reveals": Key(
            ListOf(Id("finding", "circumstance", "layout")),
            (),
            says="Findings, circumstances and layout that it answers, at most five together "
            "with what it looks for.",
        ),
        "looks-for": Key(
            LooksKind(),
            (),
            says="Causes that one sees outright with the eyes, each with how often the look "
            "shows it. Each becomes a finding of its own.",
        ),
        "spoils": Key(
            ListOf(Id("finding")), (), says="Findings that can no longer be taken afterwards."
        ),
        "only-when": Key(WHEN, {}, says="The layout it needs."),
        "note": Key(TEXT, "", says="A remark for whoever reads the check."),
        **WORK_KEYS,
    },
    either=("reveals", "looks-for"),
)


def read_check(name: str, part: str, origin: Origin, node: Node, scope: Scope) -> Looking | None:
    """Return a check; one that tells nothing is refused."""
    before = len(scope.told)
    looking = CHECK.read(node, scope, id=name, part=part, origin=origin)
    empty = looking and not looking.check.reveals and not looking.looks
    if empty and len(scope.told) == before:
        message = "The check reveals nothing and looks for nothing."
        hint = "Name findings under `reveals`, or causes under `looks-for`."
        scope.tell("check-reveals-nothing", origin, message, hint)
    return looking
