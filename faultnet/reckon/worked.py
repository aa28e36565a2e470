"""What is worked out of the parts of a reading: a closed list of computations by name.

Each is a pure function of named parts in fixed units; shares are in per cent. A part that
was not read may be worked out of others, as one figure or as a range.
"""

from collections.abc import Callable, Mapping

import msgspec

from faultnet.reckon.atmosphere import atmosphere_psi
from faultnet.reckon.between import Between
from faultnet.reckon.friction import friction_ft
from faultnet.reckon.leak import water_lost_gpm
from faultnet.reckon.limits import possible
from faultnet.reckon.motor import load_share
from faultnet.reckon.pump_flow import pump_flow_gpm
from faultnet.reckon.suction import expected_vacuum_inhg
from faultnet.reckon.tank import drawdown_gal, right_precharge_psi, settings
from faultnet.reckon.tank_air import LEAST_AIR_GAL, air_of_drawdown, air_of_precharge, air_of_volume
from faultnet.reckon.units import UnfitNumberError

RISE_PSI = 2.0
"""A gauge that rises by more in a hold test says that something feeds the tank (judgement)."""


class Computation(msgspec.Struct, frozen=True):
    """A named computation: its unit, its parts with their units, and what does it.

    ``of`` takes the parts in their order. ``title`` says what comes out.
    """

    title: str
    unit: str
    needs: dict[str, str]
    of: Callable[..., float]


class Instead(msgspec.Struct, frozen=True):
    """A way to work a part out of others; ``of`` takes them in their order."""

    unit: str
    needs: dict[str, str]
    of: Callable[..., Between]


def leak_rate(start_psi: float, end_psi: float, minutes: float, air_gal: float) -> float:
    """Return the water that leaves the tank, gpm, from its air at the first reading.

    Boyle's law; raises ``UnfitNumberError`` for a gauge that clearly rose.
    """
    if end_psi - start_psi > RISE_PSI:
        raise UnfitNumberError(
            f"The gauge rose from {start_psi:g} to {end_psi:g} psi. See that nothing feeds the "
            "tank, wait 3 minutes, begin again."
        )
    possible(end_psi=end_psi, minutes=minutes)
    air = air_of_volume(air_gal, start_psi)
    return water_lost_gpm(start_psi, end_psi, minutes, air.low)


def vacuum_left(vacuum_inhg: float, lift_ft: float, friction_ft_: float) -> float:
    """Return what lift and friction do not explain of a suction vacuum, inHg."""
    return vacuum_inhg - expected_vacuum_inhg(lift_ft, friction_ft_)


def air_under_start(start_psi: float, precharge_psi: float) -> float:
    """Return how far the air charge stands under the start pressure, psi."""
    return start_psi - precharge_psi


def setting_error(
    cut_in_psi: float, cut_out_psi: float, set_in_psi: float, set_out_psi: float
) -> float:
    """Return how far start, stop, or what lies between them is from the switch numbers, psi."""
    settings(cut_in_psi, cut_out_psi)
    settings(set_in_psi, set_out_psi)
    start, stop = cut_in_psi - set_in_psi, cut_out_psi - set_out_psi
    return max(abs(start), abs(stop), abs(stop - start))


def flow_share(drawdown_gal_: float, seconds: float, rated_gpm: float) -> float:
    """Return the flow of the pump in per cent of what it should give."""
    if rated_gpm <= 0.0:
        raise UnfitNumberError("A pump that should give nothing gives no share of it.")
    return 100.0 * pump_flow_gpm(drawdown_gal_, seconds) / rated_gpm


def drawdown_share(
    drawdown_gal_: float, tank_gal: float, cut_in_psi: float, cut_out_psi: float
) -> float:
    """Return the drawdown in per cent of that with the air 2 psi under the start."""
    right = right_precharge_psi(cut_in_psi)
    return 100.0 * drawdown_gal_ / drawdown_gal(tank_gal, right, cut_in_psi, cut_out_psi)


def voltage_share(volts: float, plate_v: float) -> float:
    """Return a voltage in per cent of the plate."""
    possible(measured_v=volts, plate_v=plate_v)
    return 100.0 * volts / plate_v


def wire_loss(panel_v: float, motor_v: float) -> float:
    """Return the part of the panel's voltage that the wire takes, per cent."""
    if panel_v <= 0.0:
        raise UnfitNumberError("With no voltage at the panel nothing is lost on the wire.")
    return 100.0 * (panel_v - motor_v) / panel_v


def amps_share(amps: float, plate_a: float, service_factor: float) -> float:
    """Return a current in per cent of what the plate allows with its service factor."""
    return 100.0 * load_share(amps, plate_a, service_factor)


def past_range(measured_uf: float, least_uf: float, most_uf: float) -> float:
    """Return how far a capacitor is outside its printed range, per cent; below nothing, inside."""
    if not 0.0 < least_uf < most_uf:
        raise UnfitNumberError("The printed range goes from the lesser number to the greater.")
    return 100.0 * max((least_uf - measured_uf) / least_uf, (measured_uf - most_uf) / most_uf)


def past_tolerance(measured_uf: float, marked_uf: float, tolerance: float) -> float:
    """Return how far a capacitor is beyond its tolerance in per cent; below nothing, within."""
    if marked_uf <= 0.0:
        raise UnfitNumberError("A capacitor is marked with more than nothing.")
    return 100.0 * abs(measured_uf - marked_uf) / marked_uf - tolerance


COMPUTATIONS: dict[str, Computation] = {
    "leak-rate": Computation(
        "leak", "gpm", {"start": "psi", "end": "psi", "minutes": "min", "air": "gal"}, leak_rate
    ),
    "vacuum-left": Computation(
        "vacuum not explained by lift and friction",
        "inHg",
        {"vacuum": "inHg", "lift": "ft", "friction": "ft"},
        vacuum_left,
    ),
    "air-under-start": Computation(
        "air under the start pressure",
        "psi",
        {"start": "psi", "precharge": "psi"},
        air_under_start,
    ),
    "setting-error": Computation(
        "off the switch numbers",
        "psi",
        {"cut-in": "psi", "cut-out": "psi", "set-in": "psi", "set-out": "psi"},
        setting_error,
    ),
    "flow-share": Computation(
        "of the flow it should give",
        "%",
        {"drawdown": "gal", "seconds": "s", "rated": "gpm"},
        flow_share,
    ),
    "drawdown-share": Computation(
        "of the drawdown it should give",
        "%",
        {"drawdown": "gal", "tank": "gal", "cut-in": "psi", "cut-out": "psi"},
        drawdown_share,
    ),
    "voltage-share": Computation(
        "of the plate voltage", "%", {"volts": "V", "plate": "V"}, voltage_share
    ),
    "wire-loss": Computation("lost on the wire", "%", {"panel": "V", "motor": "V"}, wire_loss),
    "amps-share": Computation(
        "of the current the plate allows",
        "%",
        {"amps": "A", "plate": "A", "service-factor": "number"},
        amps_share,
    ),
    "past-range": Computation(
        "outside the printed range",
        "%",
        {"measured": "uF", "least": "uF", "most": "uF"},
        past_range,
    ),
    "past-tolerance": Computation(
        "beyond the tolerance",
        "%",
        {"measured": "uF", "marked": "uF", "tolerance": "%"},
        past_tolerance,
    ),
}
"""Every computation by the name that a reading gives as its value."""


def _air_of_precharge(tank_gal: float, precharge_psi: float, start_psi: float) -> Between:
    held = 1.0 / (start_psi + atmosphere_psi())
    return air_of_precharge(tank_gal, precharge_psi).times(held)


def _air_of_drawdown(
    drawdown: float, cut_in_psi: float, cut_out_psi: float, start_psi: float
) -> Between:
    held = 1.0 / (start_psi + atmosphere_psi())
    return air_of_drawdown(drawdown, cut_in_psi, cut_out_psi).times(held)


def _air_of_tank(tank_gal: float) -> Between:
    return Between(min(LEAST_AIR_GAL, tank_gal), tank_gal)


def _friction(bore_in: float, length_ft: float, flow_gpm: float) -> Between:
    lost = friction_ft(flow_gpm, length_ft, bore_in)
    return Between(lost, lost)


INSTEAD: dict[str, tuple[Instead, ...]] = {
    "air": (
        Instead("gal", {"tank": "gal", "precharge": "psi", "start": "psi"}, _air_of_precharge),
        Instead(
            "gal",
            {"drawdown": "gal", "cut-in": "psi", "cut-out": "psi", "start": "psi"},
            _air_of_drawdown,
        ),
        Instead("gal", {"tank": "gal"}, _air_of_tank),
    ),
    "friction": (Instead("ft", {"bore": "in", "length": "ft", "flow": "gpm"}, _friction),),
}
"""How a part that was not read is worked out of others, the closest first."""


def worked_out(part: str, given: Mapping[str, float]) -> Instead | None:
    """Return the closest way to work a part out of those given, if there is one."""
    return next((each for each in INSTEAD.get(part, ()) if each.needs.keys() <= given.keys()), None)
