"""Checks: what a person does to take findings."""

import msgspec

from faultnet.model.condition import When
from faultnet.model.origin import Number, Origin

PEOPLE = ("caller", "technician", "qualified", "specialist")
POWER = ("locked-out", "off", "on", "as-found")
OPENS = ("nothing", "cover", "port", "pipe", "hatch")
PLACES = ("pump", "panel", "house", "cistern-rim", "outdoors", "anywhere")
VALVES = (
    "house-valve",
    "suction-valve",
    "pump-tank-valve",
    "tank-drain",
    "filter-bypass",
    "house-tap",
    "fixture-stop",
    "back-pressure-valve",
    "house-wall-valve",
    "branch-valve",
    "treatment-bypass",
    "fill-valve",
    "mains-bypass",
    "change-over-valve",
)


class Work(msgspec.Struct, frozen=True):
    """What doing something at the site takes; minutes are hands-on and waiting.

    ``procedures`` are those that it is done by.
    ``set_ups`` maps a set-up to whether it must be on (True) or off (False).
    """

    minutes: Number
    waiting: Number
    who: str
    tools: tuple[str, ...] = ()
    power: str = "as-found"
    opens: str = "nothing"
    valves: tuple[str, ...] = ()
    place: str = "anywhere"
    set_ups: dict[str, bool] = {}
    steps: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    procedures: tuple[str, ...] = ()


class Check(msgspec.Struct, frozen=True):
    """A piece of work that reveals findings, circumstances or layout, jointly.

    ``reveals`` includes the ``found-`` findings of the causes it looks for.
    """

    id: str
    title: str
    part: str
    reveals: tuple[str, ...]
    work: Work
    origin: Origin
    spoils: tuple[str, ...] = ()
    only_when: When = {}
    note: str = ""
