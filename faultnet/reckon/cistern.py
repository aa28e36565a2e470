"""Water standing in a cistern or a well, by its width and depth."""

from math import pi

from faultnet.reckon.limits import possible
from faultnet.reckon.units import converted


def floor_gal_ft(length_ft: float, width_ft: float) -> float:
    """Return what a foot of depth holds over a floor with four corners."""
    possible(width_ft=length_ft)
    possible(width_ft=width_ft)
    return converted(length_ft * width_ft, "ft3", "gal")


def round_gal_ft(width_ft: float) -> float:
    """Return what a foot of depth holds in a round cistern."""
    possible(width_ft=width_ft)
    return converted(pi / 4.0 * width_ft**2, "ft3", "gal")


def casing_gal_ft(casing_in: float) -> float:
    """Return what a foot of depth holds in the casing of a well."""
    possible(casing_in=casing_in)
    return converted(pi / 4.0 * converted(casing_in, "in", "ft") ** 2, "ft3", "gal")
