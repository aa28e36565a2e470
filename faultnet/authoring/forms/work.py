"""The keys that say what doing something at the site takes."""

from typing import Any

from faultnet.authoring.collection import TERMS, TEXTS, ListOf, MapOf
from faultnet.authoring.form import Key, Standing
from faultnet.authoring.kind import Choice, Switch
from faultnet.authoring.naming import Id
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
    "procedures": Key(ListOf(Id("procedure")), ()),
}
_ATTRIBUTES = tuple(key.replace("-", "_") for key in WORK_KEYS)


def work_of(values: dict[str, object]) -> tuple[Work, dict[str, Any]]:
    """Return the work, and the values that are not part of it."""
    own: dict[str, Any] = {name: values[name] for name in _ATTRIBUTES}
    return Work(**own), {name: value for name, value in values.items() if name not in _ATTRIBUTES}
