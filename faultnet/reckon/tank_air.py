"""The air in a tank, as pressure times volume: what turns a fall of the gauge into water.

One psi-gal is one gallon of air at one psi absolute. It stays the same while the tank fills
and empties slowly (Boyle), so it is all that has to be known of the tank.
"""

from faultnet.reckon.atmosphere import atmosphere_psi
from faultnet.reckon.between import Between
from faultnet.reckon.limits import possible
from faultnet.reckon.tank import settings
from faultnet.reckon.units import UnfitNumberError

LEAST_AIR_GAL = 0.1
"""The least air that is thought of in a tank full of water (judgement)."""

LARGEST_TANK_GAL = 119.0
"""The largest tank commonly sold with its air in it (trade press)."""


def air_of_precharge(tank_gal: float, precharge_psi: float, altitude_ft: float = 0.0) -> Between:
    """Return the air of a tank whose precharge has been measured with the water side empty."""
    possible(tank_gal=tank_gal, precharge_psi=precharge_psi)
    air = tank_gal * (precharge_psi + atmosphere_psi(altitude_ft))
    return Between(air, air)


def air_of_drawdown(
    drawdown_gal: float, cut_in_psi: float, cut_out_psi: float, altitude_ft: float = 0.0
) -> Between:
    """Return the air of a tank from the water caught between cut-out and cut-in.

    Any tank, captive or plain, as long as water still stands in it at the cut-in.
    """
    settings(cut_in_psi, cut_out_psi)
    possible(drawdown_gal=drawdown_gal)
    outside = atmosphere_psi(altitude_ft)
    air = drawdown_gal / (1.0 / (cut_in_psi + outside) - 1.0 / (cut_out_psi + outside))
    return Between(air, air)


def air_of_volume(air_gal: float, start_psi: float, altitude_ft: float = 0.0) -> Between:
    """Return the air of a tank from the gallons of it at a gauge pressure."""
    possible(air_gal=air_gal, start_psi=start_psi)
    air = air_gal * (start_psi + atmosphere_psi(altitude_ft))
    return Between(air, air)


def air_unknown(
    start_psi: float,
    end_psi: float,
    tank_gal: float = LARGEST_TANK_GAL,
    altitude_ft: float = 0.0,
) -> Between:
    """Return the air of a tank of which at most the size is known.

    At least ``LEAST_AIR_GAL`` at the start, as in a tank full of water; at most the whole
    tank at the end, as in one that has just run empty.
    """
    possible(start_psi=start_psi, end_psi=end_psi, tank_gal=tank_gal)
    outside = atmosphere_psi(altitude_ft)
    least = min(LEAST_AIR_GAL, tank_gal) * (start_psi + outside)
    return Between(least, max(tank_gal * (end_psi + outside), least))


def above_precharge(precharge_psi: float, end_psi: float) -> None:
    """Raise ``UnfitNumberError`` for a gauge below the precharge: that tank holds no water."""
    possible(precharge_psi=precharge_psi, end_psi=end_psi)
    if end_psi < precharge_psi:
        raise UnfitNumberError(
            f"At {end_psi:g} psi a tank with {precharge_psi:g} psi of air holds no water, and "
            "the gauge drops at once. Take a second reading above the precharge."
        )
