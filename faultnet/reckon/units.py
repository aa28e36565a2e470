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
    "MPa": Unit("pressure", 1e6),
    "psi": Unit("pressure", 6894.757),
    "inHg": Unit("pressure", 3386.389),
    "s": Unit("time", 1.0),
    "min": Unit("time", 60.0),
    "h": Unit("time", 3600.0),
    "day": Unit("time", 86400.0),
    "m": Unit("length", 1.0),
    "cm": Unit("length", 0.01),
    "mm": Unit("length", 0.001),
    "ft": Unit("length", 0.3048),
    "in": Unit("length", 0.0254),
    "V": Unit("voltage", 1.0),
    "mV": Unit("voltage", 1e-3),
    "kV": Unit("voltage", 1e3),
    "A": Unit("current", 1.0),
    "mA": Unit("current", 1e-3),
    "ohm": Unit("resistance", 1.0),
    "kohm": Unit("resistance", 1e3),
    "Mohm": Unit("resistance", 1e6),
    "L": Unit("volume", 1e-3),
    "mL": Unit("volume", 1e-6),
    "m3": Unit("volume", 1.0),
    "gal": Unit("volume", 3.785412e-3),
    "floz": Unit("volume", 2.957353e-5),
    "cup": Unit("volume", 2.365882e-4),
    "ft3": Unit("volume", 2.831685e-2),
    "L/min": Unit("flow", 1e-3 / 60.0),
    "L/s": Unit("flow", 1e-3),
    "L/day": Unit("flow", 1e-3 / 86400.0),
    "m3/h": Unit("flow", 1.0 / 3600.0),
    "gpm": Unit("flow", 3.785412e-3 / 60.0),
    "gal/day": Unit("flow", 3.785412e-3 / 86400.0),
    "ft/s": Unit("speed", 0.3048),
    "m/s": Unit("speed", 1.0),
    "W": Unit("power", 1.0),
    "kW": Unit("power", 1e3),
    "hp": Unit("power", 745.6999),
    "uF": Unit("capacitance", 1e-6),
    "nF": Unit("capacitance", 1e-9),
    "mg/L": Unit("concentration", 1.0),
    "number": Unit("share", 1.0),
    "%": Unit("share", 0.01),
    "degC": Unit("temperature", 1.0),
    "degF": Unit("temperature", 5.0 / 9.0, -32.0),
}
"""Every unit by the way it is written."""

ALIASES = {
    **dict.fromkeys(("F", "\u00b0F"), "degF"),
    **dict.fromkeys(("C", "\u00b0C"), "degC"),
    **dict.fromkeys(("feet", "foot", "'"), "ft"),
    **dict.fromkeys(("inch", "inches", '"'), "in"),
    **dict.fromkeys(("gallon", "gallons"), "gal"),
    **dict.fromkeys(("liter", "liters", "litre", "litres"), "L"),
    **dict.fromkeys(("ml",), "mL"),
    **dict.fromkeys(("cups",), "cup"),
    **dict.fromkeys(("gal/min",), "gpm"),
    **dict.fromkeys(("lpm",), "L/min"),
    **dict.fromkeys(("gpd",), "gal/day"),
    **dict.fromkeys(("sec", "secs", "second", "seconds"), "s"),
    **dict.fromkeys(("mins", "minute", "minutes"), "min"),
    **dict.fromkeys(("hr", "hrs", "hour", "hours"), "h"),
    **dict.fromkeys(("d", "days"), "day"),
    **dict.fromkeys(("volt", "volts"), "V"),
    **dict.fromkeys(("amp", "amps"), "A"),
    **dict.fromkeys(("ohms", "\u03a9", "\u2126"), "ohm"),
    **dict.fromkeys(("megohm", "megohms", "MOhm", "M\u03a9", "M\u2126"), "Mohm"),
    **dict.fromkeys(("MFD", "mfd", "\u00b5F", "\u03bcF", "microfarad", "microfarads"), "uF"),
    **dict.fromkeys(("ppm", "mg/l"), "mg/L"),
}
"""Other ways in which a unit is written; in water one ppm is taken for one mg/L."""

PLAIN = "number"
"""The unit of a number that is written without one, such as a service factor."""

_FOLDED = {name.lower(): known for name, known in ALIASES.items() if name[0] not in "mM"}

_NUMBER = r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?"
_QUANTITY = re.compile(rf"\s*({_NUMBER})\s*([^\s\d,./][^\s,]*)?\s*", re.ASCII)
_FRACTION = re.compile(
    r"\s*([+-]?)(?:(\d{1,6})(?:-|\s+))?(\d{1,2})/(2|3|4|8|16|32|64)(?![\d/.eE])(.*)", re.ASCII
)


class UnfitNumberError(ValueError):
    """A number or a unit that means nothing here, with the reason."""


def quantity(text: str, wanted: str) -> float:
    """Return what is written as number and unit (``50psi``) in the wanted unit.

    Raises ``UnfitNumberError`` for what is no number, has no unit or not a fitting one.
    """
    example = f"Write a number and its unit, such as 10{wanted}."
    if wanted == PLAIN:
        example = "Write a plain number, such as 1.15."
    number, unit = parts(text, example)
    unit = unit or (PLAIN if wanted == PLAIN else "")
    if not unit:
        raise UnfitNumberError(f"`{text[:40]}` has no unit. {example}")
    value = converted(number, unit, wanted)
    if not math.isfinite(value):
        raise UnfitNumberError(f"`{text[:40]}` is beyond all measure.")
    return value


def number_in(text: str, wanted: str) -> float:
    """Return a number in the wanted unit, which is meant where none is written.

    Raises ``UnfitNumberError`` as ``quantity`` does.
    """
    _, unit = parts(text, f"Write a number and its unit, such as 10{wanted}.")
    return quantity(text if unit else f"{text}{wanted}", wanted)


def parts(text: str, example: str) -> tuple[float, str]:
    """Return number and unit of a text, the unit empty where none stands.

    A number can be a fraction of the inch rule (``1/16in``, ``1-1/4in``). Raises
    ``UnfitNumberError``, with an example of what to write, for what is no number.
    """
    plain = text.replace("\u2212", "-")
    found = _QUANTITY.fullmatch(_unfractioned(plain))
    if found is None:
        comma = " Use a point, not a comma, and nothing between thousands."
        told = comma if re.search(r"\d,\d", text) else ""
        raise UnfitNumberError(f"`{text[:40]}` is no number with a unit.{told} {example}")
    return float(found[1]), found[2] or ""


def _unfractioned(text: str) -> str:
    """Return a text that begins with a fraction with that fraction as a decimal number."""
    found = _FRACTION.fullmatch(text)
    if found is None or int(found[3]) >= int(found[4]):
        return text
    return f"{found[1]}{int(found[2] or 0) + int(found[3]) / int(found[4])}{found[5]}"


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


def is_unit(text: str) -> bool:
    """Whether a text is a unit as people write it."""
    try:
        return bool(_named(text))
    except UnfitNumberError:
        return False


def _named(name: str) -> Unit:
    """Return a unit; capitals matter only where they tell milli from mega."""
    folds = name[0] not in "mM"
    name = ALIASES.get(name) or (folds and _FOLDED.get(name.lower())) or name
    for known, unit in UNITS.items():
        folded = known[0] not in "mM" and known.lower() == name.lower()
        if known == name or folded:
            return unit
    raise UnfitNumberError(f"There is no unit `{name[:20]}` here.")
