"""What runs out of a hole, and what drips."""

from math import pi, sqrt

from faultnet.reckon.between import Between
from faultnet.reckon.limits import possible
from faultnet.reckon.units import converted
from faultnet.reckon.water_column import density_kg_m3

SHARP = 0.6
"""Part of the ideal flow that a sharp-edged hole lets through (textbooks, from memory)."""

DRIP_ML = Between(0.25, 0.36)
"""Water in a drip: 15140 drips to the gallon as the US Geological Survey counts (from
memory), and one a second for 3000 gallons a year, as a city quotes the US EPA."""


def hole_gpm(
    hole_in: float, head_psi: float, discharge: float = SHARP, water_degf: float = 50.0
) -> float:
    """Return the flow out of a round hole into the open air.

    Torricelli: discharge times area times the root of 2 P / density.
    """
    possible(hole_in=hole_in, head_psi=head_psi, discharge=discharge)
    area = pi / 4.0 * converted(hole_in, "in", "m") ** 2
    speed = sqrt(2.0 * converted(head_psi, "psi", "Pa") / density_kg_m3(water_degf))
    return converted(discharge * area * speed * 1000.0, "L/s", "gpm")


def drips_gal_day(drips_per_second: float) -> Between:
    """Return what a dripping tap loses, from how often it drips."""
    possible(drips_per_second=drips_per_second)
    return DRIP_ML.times(drips_per_second * 86400.0 * converted(1.0, "mL", "gal"))
