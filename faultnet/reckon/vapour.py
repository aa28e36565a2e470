"""The pressure at which water turns to vapour: what warm water takes from the suction."""

from math import exp

from faultnet.reckon.limits import possible
from faultnet.reckon.units import converted
from faultnet.reckon.water_column import column_ft

CRITICAL_K = 647.096
CRITICAL_PA = 22.064e6
TERMS = (
    (-7.85951783, 1.0),
    (1.84408259, 1.5),
    (-11.7866497, 3.0),
    (22.6807411, 3.5),
    (-15.9618719, 4.0),
    (1.80122502, 7.5),
)
"""Factors and powers of the equation of Wagner and Pruss."""


def vapour_psi(water_degf: float) -> float:
    """Return the absolute pressure at which water of this heat boils.

    Source: W. Wagner and A. Pruss, Journal of Physical and Chemical Reference Data 22
    (1993) 783-787, the equation that IAPWS took up (SR1-86); coefficients from memory,
    held in the tests against a library of the steam tables.
    """
    possible(water_degf=water_degf)
    kelvin = converted(water_degf, "degF", "degC") + 273.15
    distance = 1.0 - kelvin / CRITICAL_K
    series = sum(factor * distance**power for factor, power in TERMS)
    return converted(CRITICAL_PA * exp(CRITICAL_K / kelvin * series), "Pa", "psi")


def vapour_ft(water_degf: float) -> float:
    """Return the same as a height of water of that heat."""
    return column_ft(vapour_psi(water_degf), water_degf)
