"""Pipes by kind and size: their true bores, and what they hold."""

from math import pi

from faultnet.reckon.between import Between
from faultnet.reckon.limits import possible
from faultnet.reckon.units import UnfitNumberError, converted

BORES_IN: dict[str, dict[str, float]] = {
    "pvc": {"3/4": 0.810, "1": 1.033, "1-1/4": 1.364, "1-1/2": 1.592, "2": 2.049},
    "steel": {"3/4": 0.824, "1": 1.049, "1-1/4": 1.380, "1-1/2": 1.610, "2": 2.067},
    "pe": {"3/4": 0.824, "1": 1.049, "1-1/4": 1.380, "1-1/2": 1.610, "2": 2.067},
    "copper": {"3/4": 0.785, "1": 1.025, "1-1/4": 1.265, "1-1/2": 1.505, "2": 1.985},
}
"""Bore in inches. PVC schedule 40: average inside widths of a published table of plastic
pipe; steel schedule 40 and polyethylene of controlled inside width, copper type L: from memory."""

CASE_GAL = Between(0.5, 1.0)
"""Water in the case of a household jet pump (judgement)."""


def bore_in(kind: str, size: str) -> float:
    """Return the bore of a pipe by kind (``pvc``) and trade size (``1-1/4``)."""
    sizes = BORES_IN.get(kind)
    if sizes is None:
        raise UnfitNumberError(f"There is no kind of pipe `{kind[:20]}`: {', '.join(BORES_IN)}.")
    trade = size.strip().removesuffix("in").removesuffix('"').strip().replace(" ", "-")
    if trade not in sizes:
        raise UnfitNumberError(
            f"There is no {kind} pipe of size `{size[:20]}` here: {', '.join(sizes)}. "
            "For another, give its bore."
        )
    return sizes[trade]


def pipe_gal(bore_in: float, length_ft: float) -> float:
    """Return what a full pipe holds."""
    possible(bore_in=bore_in, length_ft=length_ft)
    area = pi / 4.0 * converted(bore_in, "in", "ft") ** 2
    return converted(area * length_ft, "ft3", "gal")


def priming_gal(bore_in: float, length_ft: float, case_gal: Between = CASE_GAL) -> Between:
    """Return the water it takes to fill a suction line and the pump."""
    for each in case_gal:
        possible(case_gal=each)
    line = pipe_gal(bore_in, length_ft)
    return Between(line + case_gal.low, line + case_gal.high)
