"""Household bleach for disinfecting: how much, and what strength it gives."""

from faultnet.reckon.limits import possible
from faultnet.reckon.units import converted

BLEACH_KG_L = 1.08
"""Density of household bleach (safety data sheets, from memory); its per cent is by weight."""

TARGET_MG_L = 50.0
"""Strength most of the rules seen ask for."""

CONTACT = (
    (50.0, 24.0, "Loudoun County, Virginia, 1040.16; San Bernardino County, California, 13.24.350"),
    (50.0, 12.0, "Cattaraugus County, New York"),
    (67.0, 8.0, "Marion County, Oregon: 2 cups of 5 % bleach to 100 gal"),
)
"""Strength, hours and whose rule it is; the local one decides."""


def bleach_floz(
    volume_gal: float, target_mg_l: float = TARGET_MG_L, strength_percent: float = 6.0
) -> float:
    """Return the bleach that brings water to a strength, the bleach counted in the volume."""
    possible(volume_gal=volume_gal, target_mg_l=target_mg_l, strength_percent=strength_percent)
    free = _bottle_mg_l(strength_percent)
    return converted(volume_gal * target_mg_l / (free - target_mg_l), "gal", "floz")


def strength_mg_l(bleach_floz: float, volume_gal: float, strength_percent: float = 6.0) -> float:
    """Return the strength that so much bleach gives to so much water."""
    possible(bleach_floz=bleach_floz, volume_gal=volume_gal, strength_percent=strength_percent)
    bleach = converted(bleach_floz, "floz", "gal")
    return _bottle_mg_l(strength_percent) * bleach / (volume_gal + bleach)


def _bottle_mg_l(strength_percent: float) -> float:
    return strength_percent / 100.0 * BLEACH_KG_L * 1e6
