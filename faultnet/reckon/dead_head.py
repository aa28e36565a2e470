"""A pump that runs and moves no water heats what it holds."""

from faultnet.reckon.limits import possible
from faultnet.reckon.units import UnfitNumberError, converted
from faultnet.reckon.water_column import density_kg_m3

HEAT_J_KG_K = 4186.0
"""Specific heat of water near room heat (textbooks, from memory)."""

HURTS_DEGF = 120.0
SCALDS_DEGF = 140.0
BOILS_DEGF = 212.0
"""Scalds after minutes; within seconds; boils once the pressure is let off (common burn
tables, from memory)."""


def rise_degf_per_minute(power_hp: float, water_gal: float) -> float:
    """Return how fast the water warms if all the power of the shaft goes into it.

    Nothing is taken off for the heat that case and pipes carry away, so the true rise is
    slower: this is the soonest.
    """
    possible(power_hp=power_hp, water_gal=water_gal)
    mass = density_kg_m3(60.0) * converted(water_gal, "gal", "m3")
    kelvin_per_second = converted(power_hp, "hp", "W") / (mass * HEAT_J_KG_K)
    return kelvin_per_second * 60.0 * 9.0 / 5.0


def minutes_to(
    hot_degf: float, power_hp: float, water_gal: float, from_degf: float = 60.0
) -> float:
    """Return the soonest that the water of a stalled pump is so hot; none if it is already."""
    possible(water_degf=hot_degf, from_degf=from_degf)
    if hot_degf > BOILS_DEGF:
        raise UnfitNumberError("Above 212 degF it is steam or under pressure: stay away from it.")
    return max(hot_degf - from_degf, 0.0) / rise_degf_per_minute(power_hp, water_gal)
