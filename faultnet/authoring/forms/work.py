"""The keys that say what doing something at the site takes."""

from typing import Any

from faultnet.authoring.collection import TERMS, TEXTS, ListOf, MapOf
from faultnet.authoring.form import Key, Standing
from faultnet.authoring.kind import Choice, Switch
from faultnet.authoring.naming import Id
from faultnet.authoring.number import AMOUNT
from faultnet.model.check import OPENS, PEOPLE, PLACES, POWER, VALVES, Work

WORK_KEYS = {
    "minutes": Key(AMOUNT, says="Minutes of hands-on work."),
    "waiting": Key(
        AMOUNT, Standing(0.0), says="Minutes of waiting in which something else can be done."
    ),
    "who": Key(
        Choice(*PEOPLE),
        says="Who may do it: a caller, a technician, somebody qualified for live parts, "
        "a specialist.",
    ),
    "tools": Key(TERMS, (), says="Tools it takes."),
    "power": Key(Choice(*POWER), "as-found", says="How the power must be while it is done."),
    "opens": Key(
        Choice(*OPENS),
        "nothing",
        says="What is opened for it. Under a cover the power is locked out; a port or "
        "pipe wants the pressure bled.",
    ),
    "valves": Key(
        ListOf(Choice(*VALVES)),
        (),
        says="Valves that are moved; none between pump and tank with the power on.",
    ),
    "place": Key(
        Choice(*PLACES), "anywhere", says="Where one stands. There is no place inside a cistern."
    ),
    "set-ups": Key(
        MapOf(Id("set-up"), Switch()),
        {},
        says="States of the site that it needs, on or off; those it does not name may be either.",
    ),
    "steps": Key(TEXTS, (), says="What to do, one sentence or two for each step."),
    "cautions": Key(TEXTS, (), says="Dangers, said before the steps."),
    "procedures": Key(
        ListOf(Id("procedure")),
        (),
        says="Procedures that it is done by; they come first when somebody asks how.",
    ),
}
_ATTRIBUTES = tuple(key.replace("-", "_") for key in WORK_KEYS)


def work_of(values: dict[str, object]) -> tuple[Work, dict[str, Any]]:
    """Return the work, and the values that are not part of it."""
    own: dict[str, Any] = {name: values[name] for name in _ATTRIBUTES}
    return Work(**own), {name: value for name, value in values.items() if name not in _ATTRIBUTES}
