"""The pressure tank: what its air gives back between the start and the stop of the pump."""

from faultnet.reckon.atmosphere import atmosphere_psi
from faultnet.reckon.limits import possible
from faultnet.reckon.units import UnfitNumberError

UNDER_CUT_IN_PSI = 2.0
"""How far the precharge stands under the cut-in (trade press)."""


def settings(cut_in_psi: float, cut_out_psi: float) -> None:
    """Raise ``UnfitNumberError`` for switch settings that cannot be."""
    possible(cut_in_psi=cut_in_psi, cut_out_psi=cut_out_psi)
    if cut_in_psi >= cut_out_psi:
        raise UnfitNumberError(
            f"A pump that starts at {cut_in_psi:g} psi does not stop at {cut_out_psi:g} psi. "
            "Give the lower number first: 30/50psi."
        )


def right_precharge_psi(cut_in_psi: float) -> float:
    """Return the right precharge, read with the water side empty."""
    possible(cut_in_psi=cut_in_psi)
    return max(cut_in_psi - UNDER_CUT_IN_PSI, 0.0)


def drawdown_share(
    precharge_psi: float, cut_in_psi: float, cut_out_psi: float, altitude_ft: float = 0.0
) -> float:
    """Return the part of the tank's volume that comes out between cut-out and cut-in.

    Boyle's law in absolute pressures: (Ppre + Pa) (1 / (Pin + Pa) - 1 / (Pout + Pa)), where
    air that fills the tank above the cut-in gives no more. A plain tank that was started
    empty has a precharge of 0. Slow draw; a fast one cools the air and gives less at first.
    Raises ``UnfitNumberError`` where no water enters at all.
    """
    settings(cut_in_psi, cut_out_psi)
    possible(precharge_psi=precharge_psi)
    if precharge_psi >= cut_out_psi:
        raise UnfitNumberError(
            f"With {precharge_psi:g} psi of air no water enters before the pump stops at "
            f"{cut_out_psi:g} psi. Let air out to {right_precharge_psi(cut_in_psi):g} psi, "
            "with the water side empty."
        )
    air = atmosphere_psi(altitude_ft)
    full = min((precharge_psi + air) / (cut_in_psi + air), 1.0)
    return full - (precharge_psi + air) / (cut_out_psi + air)


def drawdown_gal(
    tank_gal: float,
    precharge_psi: float,
    cut_in_psi: float,
    cut_out_psi: float,
    altitude_ft: float = 0.0,
) -> float:
    """Return the water between cut-out and cut-in; see ``drawdown_share``."""
    possible(tank_gal=tank_gal)
    return tank_gal * drawdown_share(precharge_psi, cut_in_psi, cut_out_psi, altitude_ft)


def tank_needed_gal(
    drawdown_gal: float,
    precharge_psi: float,
    cut_in_psi: float,
    cut_out_psi: float,
    altitude_ft: float = 0.0,
) -> float:
    """Return the size of tank for a drawdown.

    Raises ``UnfitNumberError`` for a precharge above the cut-in: nobody sets a tank up so.
    """
    possible(drawdown_gal=drawdown_gal, precharge_psi=precharge_psi)
    settings(cut_in_psi, cut_out_psi)
    if precharge_psi > cut_in_psi:
        raise UnfitNumberError(
            f"A precharge of {precharge_psi:g} psi is above the cut-in of {cut_in_psi:g} psi: "
            "the tap runs dry before the pump starts. "
            f"Take {right_precharge_psi(cut_in_psi):g} psi."
        )
    return drawdown_gal / drawdown_share(precharge_psi, cut_in_psi, cut_out_psi, altitude_ft)
