"""What the numbers of the trade can be: beyond it there is no answer but a reason."""

import math
from typing import NamedTuple

from faultnet.reckon.units import UnfitNumberError


class Limit(NamedTuple):
    """The least and the greatest a number can be, and what to do about one beyond it."""

    unit: str
    low: float
    high: float
    mend: str = ""


VACUUM = "A gauge cannot read under -14.7 psi: no absolute pressure is below nothing."
COLD = "The formula is for liquid water under pressure, from freezing to 300 degF."
HEIGHT = "That is deeper than any mine or higher than any mountain."
GAUGE = "Look at the gauge again; a jet pump stays far below."
ROUGH = "New plastic is about 150, old steel about 100."

LIMITS = {
    "altitude_ft": Limit("ft", -5000.0, 30000.0, HEIGHT),
    "water_degf": Limit("degF", 32.0, 300.0, COLD),
    "from_degf": Limit("degF", 32.0, 212.0, "Give the heat of the water at the start."),
    "wire_degf": Limit("degF", -60.0, 250.0),
    "column_ft": Limit("ft", -33.9, 3000.0, VACUUM),
    "pressure_psi": Limit("psi", -14.7, 1300.0, VACUUM),
    "head_psi": Limit("psi", 0.0, 1300.0, "Only pressure drives water out of a hole."),
    "vacuum_inhg": Limit("inHg", 0.0, 29.93, "No vacuum is deeper than the air is heavy."),
    "lift_ft": Limit("ft", -200.0, 200.0, "Below nothing means that the water stands higher."),
    "friction_ft": Limit("ft", 0.0, 1000.0),
    "flow_gpm": Limit("gpm", 0.0, 2000.0),
    "demand_gpm": Limit("gpm", 0.0, 2000.0),
    "length_ft": Limit("ft", 0.0, 20000.0),
    "bore_in": Limit("in", 0.05, 48.0, "Give the width inside, not the wall."),
    "hole_in": Limit("in", 0.001, 6.0, "Give the width of the hole."),
    "roughness_c": Limit("", 40.0, 160.0, ROUGH),
    "discharge": Limit("", 0.1, 1.0, "A sharp hole is about 0.6, a smooth nozzle 1."),
    "tank_gal": Limit("gal", 0.1, 20000.0),
    "air_gal": Limit("gal", 0.01, 20000.0),
    "drawdown_gal": Limit("gal", 0.01, 20000.0),
    "water_gal": Limit("gal", 0.001, 1e6),
    "case_gal": Limit("gal", 0.0, 50.0),
    "precharge_psi": Limit("psi", 0.0, 150.0, "An air reading is not below nothing."),
    "cut_in_psi": Limit("psi", 1.0, 150.0, GAUGE),
    "cut_out_psi": Limit("psi", 1.0, 200.0, GAUGE),
    "start_psi": Limit("psi", 0.0, 200.0, GAUGE),
    "end_psi": Limit("psi", 0.0, 200.0, GAUGE),
    "readable_psi": Limit("psi", 0.0, 20.0),
    "minutes": Limit("min", 1.0 / 60.0, 60.0 * 24.0 * 60.0, "A leak needs time to show."),
    "idle_minutes": Limit("min", 1.0 / 60.0, 60.0 * 24.0 * 60.0),
    "seconds": Limit("s", 1.0, 86400.0),
    "power_hp": Limit("hp", 0.02, 20.0, "A jet pump has a fraction of a hp to a few."),
    "supply_v": Limit("V", 1.0, 1000.0, "Work above 1000 V is not for this."),
    "plate_v": Limit("V", 1.0, 1000.0, "Take it from the motor's plate."),
    "measured_v": Limit("V", 0.0, 1000.0),
    "current_a": Limit("A", 0.0, 400.0),
    "plate_a": Limit("A", 0.1, 400.0, "Take it from the motor's plate."),
    "measured_a": Limit("A", 0.0, 400.0),
    "service_factor": Limit("", 1.0, 2.0, "It stands on the motor's plate as SF."),
    "resistance_mohm": Limit("Mohm", 0.0, 1e6),
    "reading_psi": Limit("psi", 0.0, 1000.0),
    "other_psi": Limit("psi", 0.0, 1000.0),
    "span_psi": Limit("psi", 5.0, 1000.0, "Give the highest number on the dial."),
    "volume_gal": Limit("gal", 0.1, 200000.0),
    "target_mg_l": Limit("mg/L", 0.5, 400.0, "Rules ask for 50 to 200 mg/L."),
    "strength_percent": Limit("%", 1.0, 15.0, "The strength stands on the bottle."),
    "bleach_floz": Limit("floz", 0.0, 1e6),
    "people": Limit("", 1.0, 10000.0),
    "use_gal_day": Limit("gal/day", 0.0, 1e6),
    "leak_gal_day": Limit("gal/day", 0.0, 1e6),
    "drips_per_second": Limit("", 0.001, 10.0, "Faster than that it is a stream."),
    "depth_ft": Limit("ft", 0.05, 2000.0, "Give the depth of the water."),
    "width_ft": Limit("ft", 0.5, 200.0),
    "round_ft": Limit("ft", 0.5, 200.0),
    "long_ft": Limit("ft", 0.5, 200.0),
    "wide_ft": Limit("ft", 0.5, 200.0),
    "pipes_gal": Limit("gal", 0.0, 10000.0),
    "casing_in": Limit("in", 1.0, 240.0),
    "fixtures": Limit("", 0.0, 100.0),
}
"""By the name of the parameter; the same name has the same limits everywhere."""


def possible(**numbers: float) -> None:
    """Raise ``UnfitNumberError`` for the first number that cannot be, with the reason."""
    for name, value in numbers.items():
        limit = LIMITS[name]
        if limit.low <= value <= limit.high:
            continue
        what = spoken(name)
        if not math.isfinite(value):
            raise UnfitNumberError(f"The {what} is no number.")
        unit = f" {limit.unit}" if limit.unit else ""
        between = f"it lies between {limit.low:g} and {limit.high:g}{unit}."
        told = f"{what.capitalize()} of {value:g}{unit} cannot be: {between} {limit.mend}"
        raise UnfitNumberError(told.rstrip())


def spoken(name: str) -> str:
    """Return the name of a parameter as it is said: ``cut_in_psi`` is a cut-in."""
    unit = LIMITS[name].unit
    suffix = unit.lower().replace("/", "_").replace("%", "percent")
    said = name.removesuffix(f"_{suffix}") if suffix else name
    return said.replace("cut_in", "cut-in").replace("cut_out", "cut-out").replace("_", " ")
