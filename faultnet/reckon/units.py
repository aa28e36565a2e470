"""Units in which readings are taken, and how they turn into each other.

The factors are those of NIST Special Publication 811 (2008), appendix B: the inch of
mercury is the conventional one, the foot the international one, the gallon that of the
United States.
"""

import math
import re

import msgspec


class Unit(msgspec.Struct, frozen=True):
    """A unit: the base unit of its kind holds ``factor * (number + offset)``."""

    measures: str
    factor: float
    offset: float = 0.0


UNITS: dict[str, Unit] = {
    "Pa": Unit("pressure", 1.0),
    "kPa": Unit("pressure", 1e3),
    "bar": Unit("pressure", 1e5),
    "mbar": Unit("pressure", 1e2),
    "psi": Unit("pressure", 6894.757),
    "inHg": Unit("pressure", 3386.389),
    "s": Unit("time", 1.0),
    "min": Unit("time", 60.0),
    "h": Unit("time", 3600.0),
    "m": Unit("length", 1.0),
    "cm": Unit("length", 0.01),
    "mm": Unit("length", 0.001),
    "ft": Unit("length", 0.3048),
    "in": Unit("length", 0.0254),
    "V": Unit("voltage", 1.0),
    "mV": Unit("voltage", 1e-3),
    "A": Unit("current", 1.0),
    "mA": Unit("current", 1e-3),
    "ohm": Unit("resistance", 1.0),
    "kohm": Unit("resistance", 1e3),
    "Mohm": Unit("resistance", 1e6),
    "L": Unit("volume", 1e-3),
    "gal": Unit("volume", 3.785412e-3),
    "L/min": Unit("flow", 1e-3 / 60.0),
    "gpm": Unit("flow", 3.785412e-3 / 60.0),
    "degC": Unit("temperature", 1.0),
    "degF": Unit("temperature", 5.0 / 9.0, -32.0),
}
"""Every unit by the way it is written."""

_QUANTITY = re.compile(
    r"\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*([^\s\d,.]\S*)?\s*", re.ASCII
)


class UnfitNumberError(ValueError):
    """A number or a unit that means nothing here, with the reason."""


def quantity(text: str, wanted: str) -> float:
    """Return what is written as number and unit (``50psi``) in the wanted unit.

    Raises ``UnfitNumberError`` for what is no number, has no unit or not a fitting one.
    """
    example = f"Write a number and its unit, such as 10{wanted}."
    found = _QUANTITY.fullmatch(text)
    if found is None:
        comma = " Use a point, not a comma." if re.search(r"\d,\d", text) else ""
        raise UnfitNumberError(f"`{text[:40]}` is no number with a unit.{comma} {example}")
    if not found[2]:
        raise UnfitNumberError(f"`{text[:40]}` has no unit. {example}")
    value = converted(float(found[1]), found[2], wanted)
    if not math.isfinite(value):
        raise UnfitNumberError(f"`{text[:40]}` is beyond all measure.")
    return value


def converted(number: float, given: str, wanted: str) -> float:
    """Return a number of one unit in another; raise ``UnfitNumberError`` where it has none."""
    if given == wanted:
        return number
    if wanted not in UNITS:
        raise UnfitNumberError(f"It is given in {wanted}.")
    target = UNITS[wanted]
    alike = ", ".join(name for name, unit in UNITS.items() if unit.measures == target.measures)
    try:
        known = _named(given)
    except UnfitNumberError as error:
        raise UnfitNumberError(f"{error} It is given in one of {alike}.") from None
    if known.measures != target.measures:
        reason = f"{given} measures {known.measures}, and this is a {target.measures}"
        raise UnfitNumberError(f"{reason} in one of {alike}.")
    return known.factor * (number + known.offset) / target.factor - target.offset


def _named(name: str) -> Unit:
    """Return a unit; capitals matter only where they tell milli from mega."""
    for known, unit in UNITS.items():
        folded = known[0] not in "mM" and known.lower() == name.lower()
        if known == name or folded:
            return unit
    raise UnfitNumberError(f"There is no unit `{name[:20]}` here.")
