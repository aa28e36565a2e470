"""A leak from what the gauge does with the pump off and no water used.

A fall of the gauge says nothing about the leak until the air in the tank is known: with the
tank full of water the same leak makes the needle fall 30 to 300 times faster. So the air
(see ``tank_air``) goes in as a range and the leak comes out as one.
"""

from faultnet.reckon.atmosphere import atmosphere_psi
from faultnet.reckon.between import Between
from faultnet.reckon.limits import possible
from faultnet.reckon.units import UnfitNumberError

READABLE_PSI = 1.0
"""How finely a fall can be read on a 100 psi gauge; its grade cancels out (judgement)."""

LEAST_HOLD_MINUTES = 15.0
HOLD_SHARE = 0.15
"""Least wait of a hold test, and its part of the time between unprompted starts (judgement)."""


def leak_gpm(
    start_psi: float,
    end_psi: float,
    minutes: float,
    air_psi_gal: Between,
    readable_psi: float = READABLE_PSI,
    altitude_ft: float = 0.0,
) -> Between:
    """Return the leak that lets the gauge fall so far in so many minutes.

    Boyle's law: PV (1 / P2 - 1 / P1) / minutes, absolute, the fall being uncertain by
    ``readable_psi`` either way. Raises ``UnfitNumberError`` for a gauge that has risen.
    """
    possible(start_psi=start_psi, end_psi=end_psi, minutes=minutes, readable_psi=readable_psi)
    fall = start_psi - end_psi
    if fall < -readable_psi:
        raise UnfitNumberError(
            f"The gauge rose from {start_psi:g} to {end_psi:g} psi. Air settles after a fast "
            "draw and heated water swells: see that nothing feeds the tank, wait 3 minutes, "
            "begin again."
        )
    falls = (max(fall - readable_psi, 0.0), min(fall + readable_psi, start_psi))
    low, high = (
        max(water_lost_gpm(start_psi, start_psi - each, minutes, air, altitude_ft), 0.0)
        for each, air in zip(falls, air_psi_gal, strict=True)
    )
    return Between(low, high)


def water_lost_gpm(
    start_psi: float, end_psi: float, minutes: float, air_psi_gal: float, altitude_ft: float = 0.0
) -> float:
    """Return what leaves a tank of known air, by Boyle's law; below nothing, what came in."""
    outside = atmosphere_psi(altitude_ft)
    return air_psi_gal * (1.0 / (end_psi + outside) - 1.0 / (start_psi + outside)) / minutes


def smallest_leak_gpm(
    start_psi: float,
    minutes: float,
    air_psi_gal: Between,
    readable_psi: float = 2.0,
    altitude_ft: float = 0.0,
) -> Between:
    """Return the leak that just moves the gauge by what can be read; smaller ones stay unseen."""
    possible(readable_psi=readable_psi)
    end = start_psi - readable_psi
    return leak_gpm(start_psi, end, minutes, air_psi_gal, 0.0, altitude_ft)


def leak_from_starts_gpm(drawdown_gal: float, idle_minutes: float) -> float:
    """Return the leak that empties the drawdown from one stop of the pump to the next start."""
    possible(drawdown_gal=drawdown_gal, idle_minutes=idle_minutes)
    return drawdown_gal / idle_minutes


def hold_minutes(idle_minutes: float) -> float:
    """Return how long to watch the gauge, from the time between two unprompted starts."""
    possible(idle_minutes=idle_minutes)
    return max(LEAST_HOLD_MINUTES, HOLD_SHARE * idle_minutes)
