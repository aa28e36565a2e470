"""Currents of single-phase motors: the table for wire and protection, and the plate."""

from faultnet.reckon.limits import possible
from faultnet.reckon.units import UnfitNumberError

FULL_LOAD_A: dict[float, dict[int, float]] = {
    1 / 3: {115: 7.2, 208: 4.0, 230: 3.6},
    1 / 2: {115: 9.8, 208: 5.4, 230: 4.9},
    3 / 4: {115: 13.8, 208: 7.6, 230: 6.9},
    1.0: {115: 16.0, 208: 8.8, 230: 8.0},
    1.5: {115: 20.0, 208: 11.0, 230: 10.0},
}
"""Full-load amperes by hp and volts (National Electrical Code, Table 430.248)."""

SYSTEMS_V = {115: (110.0, 120.0), 208: (200.0, 210.0), 230: (220.0, 240.0)}
"""The supplies that a column of the table serves (from memory; 200-210 is judgement)."""

WIRE_SHARE = 1.25
"""Wire carries this much of the table's current (National Electrical Code, from memory)."""


def full_load_a(power_hp: float, supply_v: float) -> float:
    """Return the current to size wire and protection by; it does not judge a motor.

    Raises ``UnfitNumberError`` for what the table does not hold.
    """
    possible(power_hp=power_hp, supply_v=supply_v)
    row = next((row for hp, row in FULL_LOAD_A.items() if abs(hp - power_hp) < 0.01), None)
    if row is None:
        raise UnfitNumberError(
            f"The table has no motor of {power_hp:g} hp: 1/3, 1/2, 3/4, 1 and 1-1/2 hp. "
            "Go by the plate."
        )
    for column, (low, high) in SYSTEMS_V.items():
        if low <= supply_v <= high:
            return row[column]
    raise UnfitNumberError(
        f"The table has no single-phase supply of {supply_v:g} V: 115, 208 and 230 V."
    )


def wire_a(power_hp: float, supply_v: float) -> float:
    """Return the current that the wire of a motor must carry at least."""
    return WIRE_SHARE * full_load_a(power_hp, supply_v)


def load_share(measured_a: float, plate_a: float, service_factor: float = 1.0) -> float:
    """Return the measured current as part of what the plate allows; above 1 it is overloaded."""
    possible(measured_a=measured_a, plate_a=plate_a, service_factor=service_factor)
    return measured_a / (plate_a * service_factor)
