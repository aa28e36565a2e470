"""Suction lift: what the air leaves for the pump, and how far it is from the limit."""

from faultnet.reckon.atmosphere import atmosphere_ft
from faultnet.reckon.between import Between
from faultnet.reckon.limits import possible
from faultnet.reckon.units import UnfitNumberError
from faultnet.reckon.vapour import vapour_ft
from faultnet.reckon.water_column import column_of_vacuum_ft, vacuum_of_column_inhg

PRACTICAL_FT = Between(22.0, 26.0)
"""What publications say a one-pipe jet lifts in practice at the sea: 22 ft in one table,
25 ft in the trade press, 26 ft on a maker's page. They disagree, so all are kept."""


def greatest_lift_ft(altitude_ft: float = 0.0, water_degf: float = 50.0) -> float:
    """Return the lift that no pump exceeds: the air less the vapour, in feet of water.

    Raises ``UnfitNumberError`` where the water boils by itself.
    """
    left = atmosphere_ft(altitude_ft, water_degf) - vapour_ft(water_degf)
    if left <= 0.0:
        raise UnfitNumberError(
            f"Water of {water_degf:g} degF boils at {altitude_ft:g} ft: nothing can be lifted. "
            "Let the pump cool, and never open it hot."
        )
    return left


def npsh_available_ft(
    lift_ft: float, friction_ft: float = 0.0, altitude_ft: float = 0.0, water_degf: float = 50.0
) -> float:
    """Return the net positive suction head available; below nothing, no water arrives.

    Air less vapour less lift less friction, as ANSI/HI pump standards define it (from
    memory). A lift below nothing is water that stands higher than the pump.
    """
    possible(lift_ft=lift_ft, friction_ft=friction_ft)
    return greatest_lift_ft(altitude_ft, water_degf) - lift_ft - friction_ft


def practical_lift_ft(altitude_ft: float = 0.0, water_degf: float = 50.0) -> Between:
    """Return what jets lift in practice, less what height and warmth take away.

    Source: ``PRACTICAL_FT``, for cool water at the sea, lowered by what the greatest
    lift loses (judgement).
    """
    lost = greatest_lift_ft() - greatest_lift_ft(altitude_ft, water_degf)
    return Between(*(max(each - lost, 0.0) for each in PRACTICAL_FT))


def margin_ft(
    lift_ft: float, friction_ft: float = 0.0, altitude_ft: float = 0.0, water_degf: float = 50.0
) -> Between:
    """Return how far lift and friction are from the practical limit; below nothing, beyond."""
    possible(lift_ft=lift_ft, friction_ft=friction_ft)
    practical = practical_lift_ft(altitude_ft, water_degf)
    return Between(*(each - lift_ft - friction_ft for each in practical))


def expected_vacuum_inhg(
    lift_ft: float, friction_ft: float = 0.0, water_degf: float = 50.0
) -> float:
    """Return what a gauge at the pump inlet shows while drawing; below nothing, pressure."""
    possible(lift_ft=lift_ft, friction_ft=friction_ft)
    raised = lift_ft + friction_ft
    sign = 1.0 if raised >= 0.0 else -1.0
    return sign * vacuum_of_column_inhg(abs(raised), water_degf)


def friction_of_vacuum_ft(vacuum_inhg: float, lift_ft: float, water_degf: float = 50.0) -> float:
    """Return what a measured vacuum leaves for friction once the lift is taken off."""
    possible(lift_ft=lift_ft)
    return column_of_vacuum_ft(vacuum_inhg, water_degf) - lift_ft
