"""The weight of the air, which is all that pushes water up a suction line."""

from faultnet.reckon.limits import possible
from faultnet.reckon.units import converted
from faultnet.reckon.water_column import column_ft

EARTH_M = 6356766.0
"""Radius of the earth in the standard."""


def atmosphere_psi(altitude_ft: float = 0.0) -> float:
    """Return the absolute pressure of the air on a standard day.

    Source: US Standard Atmosphere 1976, lowest layer:
    P = 101325 Pa * (1 - 2.25577e-5 h) ** 5.25588, h in m, with h lowered for the fall of
    gravity as the standard does. The weather moves it by about 3 % either way (from memory).
    """
    possible(altitude_ft=altitude_ft)
    measured = converted(altitude_ft, "ft", "m")
    height = measured * EARTH_M / (EARTH_M + measured)
    return converted(101325.0 * (1.0 - 2.25577e-5 * height) ** 5.25588, "Pa", "psi")


def atmosphere_ft(altitude_ft: float = 0.0, water_degf: float = 50.0) -> float:
    """Return the height of water that the air holds up on a standard day."""
    return column_ft(atmosphere_psi(altitude_ft), water_degf)
