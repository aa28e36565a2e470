"""The form of a procedure."""

from collections.abc import Mapping as ByName

from faultnet.authoring.collection import TERMS, TEXTS, ListOf, MapOf
from faultnet.authoring.form import Form, Key
from faultnet.authoring.kind import FLAG, TERM, TEXT, Switch
from faultnet.authoring.naming import NAME, Id
from faultnet.authoring.nearest import did_you_mean
from faultnet.authoring.node import Mapping
from faultnet.authoring.number import ANY_NUMBER
from faultnet.authoring.scope import Scope
from faultnet.model.procedure import ByPhone, Procedure, Step
from faultnet.model.reading import Reading

_STEP = Form(
    Step,
    {
        "do": Key(TEXT, says="What to do, one thing."),
        "limit": Key(
            MapOf(NAME, ANY_NUMBER),
            {},
            says="Numbers that limit the step: minutes get a timer, tries are counted.",
        ),
        "stop-when": Key(TEXT, "", says="What ends it first, then what that means or what to do."),
        "caution": Key(TEXT, "", says="The danger of this step."),
        "meanwhile": Key(TEXT, "", says="What to look at during the wait."),
        "takes": Key(
            MapOf(Id("reading"), TERMS),
            {},
            says="Readings with the parts that are read at this step.",
        ),
        "set-ups": Key(
            MapOf(Id("set-up"), Switch()),
            {},
            says="States of the site that this step makes (on) or undoes (off).",
        ),
    },
)


_ANSWERS = MapOf(Id("finding"), TERM)

_BY_PHONE = Form(
    ByPhone,
    {
        "first": Key(_ANSWERS, {}, says="Answers that must be given before it is offered."),
        "when": Key(_ANSWERS, {}, says="Answers that call for it, where no repair names it."),
        "starts-pump": Key(
            FLAG,
            default=False,
            says="Yes for the one restart by phone; every full-stop danger must be denied "
            "before it.",
        ),
    },
)

PROCEDURE = Form(
    Procedure,
    {
        "procedure": Key(
            NAME, attribute="id", says="The id of the procedure, as the file is called."
        ),
        "title": Key(TEXT, says="What people read: what it is."),
        "about": Key(TEXT, says="What it is for, for whom, and where it does not hold."),
        "bring": Key(TEXTS, (), says="What to bring along."),
        "before": Key(TEXTS, (), says="What must be so before the first step."),
        "after": Key(TEXTS, (), says="How the site is left where it ends early."),
        "by-phone": Key(_BY_PHONE, None, says="Stands where a caller may be talked through it."),
        "steps": Key(ListOf(_STEP, distinct=False), says="The steps in their order."),
    },
)


def read_procedure(node: Mapping, readings: ByName[str, Reading], scope: Scope) -> Procedure | None:
    """Return a procedure; a step may only take parts that the reading has."""
    procedure = PROCEDURE.read(node, scope, origin=node.origin)
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
