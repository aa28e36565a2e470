"""The most that a house draws at once."""

from collections.abc import Mapping

from faultnet.reckon.limits import possible
from faultnet.reckon.units import UnfitNumberError

ALLOWANCE_GPM = {
    "shower": 1.0,
    "lavatory": 0.5,
    "toilet": 0.75,
    "kitchen": 1.0,
    "dishwasher": 0.5,
    "laundry_sink": 1.5,
    "washer": 2.0,
}
"""What each fixture adds to the peak (Private Water Systems, handbook handed out by the US EPA)."""


def peak_demand_gpm(fixtures: Mapping[str, float]) -> float:
    """Return the peak of a house: the allowances of its fixtures together."""
    unknown = [name for name in fixtures if name not in ALLOWANCE_GPM]
    if unknown:
        known = ", ".join(ALLOWANCE_GPM)
        raise UnfitNumberError(f"There is no fixture `{unknown[0][:20]}` here: {known}.")
    for count in fixtures.values():
        possible(fixtures=count)
    return sum(ALLOWANCE_GPM[name] * count for name, count in fixtures.items())
