"""What a pipe costs the water that runs through it."""

import math

from faultnet.reckon.limits import possible
from faultnet.reckon.units import UnfitNumberError, converted

ROUGHNESS = {"pvc": 140.0, "pe": 140.0, "copper": 140.0, "steel": 100.0}
"""C of Hazen and Williams by kind of pipe: new plastic and copper 140-150, new steel 140, old
steel 100-120, galvanized 100 (as calculators of pipe flow print them). Plastic is taken at 140:
at the speeds of household pipes the law of Darcy and Colebrook is nearer to that than to the 150
of published tables. Steel is taken as old."""

VISCOSITY_M2_S = 1.31e-6
"""Kinematic viscosity of water at 50 degF (10 degC), from memory."""

SLOW_FT_S = 3.0
"""Below this speed the formula reads low (found against Darcy and Colebrook in the tests)."""

TURBULENT = 4000.0
"""Reynolds number above which the flow is turbulent for sure (textbooks, from memory)."""


def roughness_of(kind: str) -> float:
    """Return C for a kind of pipe; raise ``UnfitNumberError`` for an unknown kind."""
    if kind not in ROUGHNESS:
        raise UnfitNumberError(f"There is no kind of pipe `{kind[:20]}`: {', '.join(ROUGHNESS)}.")
    return ROUGHNESS[kind]


def friction_ft(
    flow_gpm: float, length_ft: float, bore_in: float, roughness_c: float = 140.0
) -> float:
    """Return the head lost along a straight pipe.

    Hazen and Williams in SI: h = 10.67 L Q**1.852 / (C**1.852 D**4.8704). For cool water
    in turbulent flow; below 3 ft/s it reads up to a fifth low. Source of the SI constant:
    common engineering handbooks (from memory); held in the tests against the table of
    Illinois Administrative Code 77-906, Appendix A.
    """
    possible(flow_gpm=flow_gpm, length_ft=length_ft, bore_in=bore_in, roughness_c=roughness_c)
    flow, bore = converted(flow_gpm, "gpm", "L/s") / 1000.0, converted(bore_in, "in", "m")
    return length_ft * 10.67 * math.pow(flow / roughness_c, 1.852) / math.pow(bore, 4.8704)


def speed_ft_s(flow_gpm: float, bore_in: float) -> float:
    """Return how fast the water runs."""
    possible(flow_gpm=flow_gpm, bore_in=bore_in)
    area = math.pi / 4.0 * converted(bore_in, "in", "m") ** 2
    return converted(converted(flow_gpm, "gpm", "L/s") / 1000.0 / area, "m/s", "ft/s")


def turbulent(flow_gpm: float, bore_in: float) -> bool:
    """Whether the flow is fast enough for the formula of ``friction_ft``."""
    speed = converted(speed_ft_s(flow_gpm, bore_in), "ft/s", "m/s")
    return speed * converted(bore_in, "in", "m") / VISCOSITY_M2_S >= TURBULENT
