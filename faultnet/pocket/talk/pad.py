"""The keypad: which numbers a turn wants, in which units, how finely."""

import math

import msgspec

from faultnet.model.in_words import plain
from faultnet.reckon.units import UNITS
from faultnet.visit.numbers import Wanted, wanted
from faultnet.visit.turn import Turn
from faultnet.visit.visit import Visit

BESIDE = {
    "psi": ("bar", "kPa"),
    "inHg": ("kPa", "mbar"),
    "gal": ("L", "m3"),
    "floz": ("mL",),
    "gpm": ("L/min",),
    "ft": ("m", "in"),
    "in": ("mm",),
    "min": ("s", "h"),
    "h": ("min",),
    "s": ("min",),
    "Mohm": ("kohm",),
}
"""Units on other instruments that are met in the field, beside that of a reading (judgement)."""

DECIMALS = {
    **dict.fromkeys(("psi", "inHg", "gal", "ft", "m", "min", "h", "A", "uF", "L", "gpm"), 1),
    **dict.fromkeys(("bar", "m3", "Mohm", "number", "in"), 2),
}
"""How finely instruments are read, in digits behind the point; others in whole numbers."""


class Choice(msgspec.Struct, frozen=True):
    """A unit in which a number may be given, and how finely."""

    unit: str
    decimals: int


class PadPart(msgspec.Struct, frozen=True):
    """One number on the keypad.

    ``before`` is written before the number, and the unit behind it; numbers have spaces between.
    ``units`` are those it may be given in, its own first. ``low`` and ``high`` are in its own unit.
    ``known`` is what counts where one that is not ``needed`` is left out.
    """

    part: str
    title: str
    before: str
    unit: str
    decimals: int
    negative: bool
    units: tuple[Choice, ...]
    needed: bool
    low: float | None
    high: float | None
    known: float | None


class Pad(msgspec.Struct, frozen=True):
    """Numbers are wanted: the first of them, and all of them in their order."""

    unit: str
    decimals: int
    negative: bool
    parts: tuple[PadPart, ...]


def pad_of(visit: Visit, turn: Turn) -> Pad | None:
    """Return the keypad of a turn; None where it wants no numbers."""
    if turn.typed is None:
        return None
    parts = tuple(map(_part, wanted(visit.talk, visit.at, turn.typed.what)))
    return Pad(parts[0].unit, parts[0].decimals, parts[0].negative, parts) if parts else None


def _part(each: Wanted) -> PadPart:
    units = tuple(Choice(u, DECIMALS.get(u, 0)) for u in (each.unit, *BESIDE.get(each.unit, ())))
    return PadPart(
        each.part,
        plain(each.part),
        "" if each.needed else f"{each.part}=",
        each.unit,
        units[0].decimals,
        _signed(each),
        units,
        each.needed,
        each.low if math.isfinite(each.low) else None,
        each.high if math.isfinite(each.high) else None,
        each.known,
    )


def _signed(each: Wanted) -> bool:
    """Whether a number below nothing can be: a temperature, or where the files say so."""
    cold = UNITS[each.unit].measures == "temperature"
    return -math.inf < each.low < 0.0 or (cold and each.low < 0.0)
