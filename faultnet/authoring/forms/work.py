"""The keys that say what doing something at the site takes."""

from typing import Any

from faultnet.authoring.form import Key, Standing
from faultnet.authoring.kind import TERMS, TEXTS, Choice, Id, ListOf, MapOf, Switch
from faultnet.authoring.number import AMOUNT
from faultnet.model.check import OPENS, PEOPLE, PLACES, POWER, VALVES, Work

WORK_KEYS = {
    "minutes": Key(AMOUNT),
    "waiting": Key(AMOUNT, Standing(0.0)),
    "who": Key(Choice(*PEOPLE)),
    "tools": Key(TERMS, ()),
    "power": Key(Choice(*POWER), "as-found"),
    "opens": Key(Choice(*OPENS), "nothing"),
    "valves": Key(ListOf(Choice(*VALVES)), ()),
    "place": Key(Choice(*PLACES), "anywhere"),
    "set-ups": Key(MapOf(Id("set-up").check, Switch()), {}),
    "steps": Key(TEXTS, ()),
    "cautions": Key(TEXTS, ()),
}
_ATTRIBUTES = tuple(key.replace("-", "_") for key in WORK_KEYS)


def work_of(values: dict[str, Any]) -> tuple[Work, dict[str, Any]]:
    """Return the work, and the values that are not part of it."""
    work = Work(**{name: values[name] for name in _ATTRIBUTES})
    return work, {name: value for name, value in values.items() if name not in _ATTRIBUTES}
