"""The form of a procedure."""

from collections.abc import Mapping as ByName

from faultnet.authoring.collection import TERMS, TEXTS, ListOf, MapOf
from faultnet.authoring.form import Form, Key
from faultnet.authoring.kind import FLAG, TERM, TEXT, Switch
from faultnet.authoring.naming import NAME, Id, any_name
from faultnet.authoring.nearest import did_you_mean
from faultnet.authoring.node import Mapping
from faultnet.authoring.number import ANY_NUMBER
from faultnet.authoring.scope import Scope
from faultnet.model.procedure import ByPhone, Procedure, Step
from faultnet.model.reading import Reading

_STEP = Form(
    Step,
    {
        "do": Key(TEXT),
        "limit": Key(MapOf(any_name, ANY_NUMBER), {}),
        "stop-when": Key(TEXT, ""),
        "caution": Key(TEXT, ""),
        "meanwhile": Key(TEXT, ""),
        "takes": Key(MapOf(Id("reading").check, TERMS), {}),
        "set-ups": Key(MapOf(Id("set-up").check, Switch()), {}),
    },
)


_ANSWERS = MapOf(Id("finding").check, TERM)

_BY_PHONE = Form(
    ByPhone,
    {
        "first": Key(_ANSWERS, {}),
        "when": Key(_ANSWERS, {}),
        "starts-pump": Key(FLAG, default=False),
    },
)

_PROCEDURE = Form(
    Procedure,
    {
        "procedure": Key(NAME, attribute="id"),
        "title": Key(TEXT),
        "about": Key(TEXT),
        "bring": Key(TEXTS, ()),
        "before": Key(TEXTS, ()),
        "after": Key(TEXTS, ()),
        "by-phone": Key(_BY_PHONE, None),
        "steps": Key(ListOf(_STEP, distinct=False)),
    },
)


def read_procedure(node: Mapping, readings: ByName[str, Reading], scope: Scope) -> Procedure | None:
    """Return a procedure; a step may only take parts that the reading has."""
    procedure = _PROCEDURE.read(node, scope, origin=node.origin)
    if procedure and procedure.by_phone:
        for answers in (procedure.by_phone.first, procedure.by_phone.when):
            _tell_answers(answers, node, scope)
    for step in procedure.steps if procedure else ():
        if step.takes and step.set_ups:
            message = "A step that takes a reading is over with its numbers: it makes no set-up."
            hint = "Put the set-up at the step before or after it."
            scope.tell("set-ups-contradict", node.entries["steps"].origin, message, hint)
        for name, parts in step.takes.items():
            takes = readings[name].takes if name in readings else {}
            for part in parts:
                if takes and part not in takes:
                    message = f"The reading `{name}` takes no `{part[:40]}`."
                    hint = did_you_mean(part, takes)
                    scope.tell("unknown-value", node.entries["steps"].origin, message, hint)
    return procedure


def _tell_answers(answers: ByName[str, str], node: Mapping, scope: Scope) -> None:
    """Tell answers that their finding does not have."""
    for finding, answer in answers.items():
        known = (*scope.names.answers.get(finding, (answer,)), "yes", "no")
        if answer not in known:
            message = f"`{answer[:40]}` is no answer of `{finding}`."
            hint = did_you_mean(answer, known)
            scope.tell("unknown-value", node.entries["by-phone"].origin, message, hint)
