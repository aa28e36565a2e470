"""Voltage at a motor: what it may be, what it does to the torque, what the wire takes."""

import math

from faultnet.reckon.between import Between
from faultnet.reckon.limits import possible
from faultnet.reckon.units import UnfitNumberError, converted

TOLERANCE = 0.10
"""Part of the plate voltage either way, while running (NEMA MG 1, condensed, clause 9.9)."""

COPPER_OHM_M = 1.7241e-8
"""Resistivity of annealed copper at 20 degC (IACS, IEC 60028; from memory)."""

PER_DEGC = 0.00393
"""How the resistance of copper grows with each degree above 20 degC (the same)."""


def voltage_window_v(plate_v: float) -> Between:
    """Return the voltages between which a motor runs as its plate says."""
    possible(plate_v=plate_v)
    return Between(plate_v * (1.0 - TOLERANCE), plate_v * (1.0 + TOLERANCE))


def torque_share(measured_v: float, plate_v: float) -> float:
    """Return the torque left, as part of that at plate voltage: it goes with the square."""
    possible(measured_v=measured_v, plate_v=plate_v)
    return (measured_v / plate_v) ** 2


def wire_ohm(awg: float, length_ft: float, wire_degf: float = 68.0) -> float:
    """Return the resistance of one solid copper wire.

    Widths: ASTM B258, 0.005 in * 92 ** ((36 - n) / 39); stranded wire has about 2 % more.
    """
    possible(length_ft=length_ft, wire_degf=wire_degf)
    if not (float(awg).is_integer() and 0 <= awg <= 20):
        raise UnfitNumberError(f"There is no AWG {awg:g} here: 0, 2, 4 ... 12, 14, up to 20.")
    area = math.pi / 4.0 * (converted(0.005, "in", "m") * math.pow(92.0, (36.0 - awg) / 39.0)) ** 2
    warm = 1.0 + PER_DEGC * (converted(wire_degf, "degF", "degC") - 20.0)
    return COPPER_OHM_M * warm * converted(length_ft, "ft", "m") / area


def drop_v(current_a: float, length_ft: float, awg: float, wire_degf: float = 68.0) -> float:
    """Return the voltage lost on the way there and back; ``length_ft`` is one way."""
    possible(current_a=current_a)
    return current_a * 2.0 * wire_ohm(awg, length_ft, wire_degf)
