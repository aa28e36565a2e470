"""The flow of a pump from the water it puts into the tank."""

from faultnet.reckon.limits import possible
from faultnet.reckon.units import UnfitNumberError


def pump_flow_gpm(drawdown_gal: float, seconds: float, demand_gpm: float = 0.0) -> float:
    """Return the mean flow between cut-in and cut-out, with water drawn besides.

    The drawdown is what comes out between cut-out and cut-in with the pump off; the seconds
    are those from start to stop.
    """
    possible(drawdown_gal=drawdown_gal, seconds=seconds, demand_gpm=demand_gpm)
    return drawdown_gal * 60.0 / seconds + demand_gpm


def fill_seconds(drawdown_gal: float, flow_gpm: float, demand_gpm: float = 0.0) -> float:
    """Return the seconds from start to stop of a pump of a known flow."""
    possible(drawdown_gal=drawdown_gal, flow_gpm=flow_gpm, demand_gpm=demand_gpm)
    if demand_gpm >= flow_gpm:
        raise UnfitNumberError(
            f"With {demand_gpm:g} gpm drawn, a pump of {flow_gpm:g} gpm never fills the tank."
        )
    return drawdown_gal * 60.0 / (flow_gpm - demand_gpm)
