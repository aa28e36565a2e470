"""Numbers that cannot be are refused with the reason and the mend, never reckoned with."""

import math

import pytest

from faultnet.reckon import (
    atmosphere,
    bleach,
    cistern,
    cycling,
    dead_head,
    demand,
    friction,
    gauge,
    hole,
    insulation,
    leak,
    limits,
    motor,
    pipe,
    pump_flow,
    suction,
    tank,
    tank_air,
    vapour,
    voltage,
    water_column,
    water_left,
)
from faultnet.reckon.between import Between
from faultnet.reckon.units import UnfitNumberError

AIR = Between(100.0, 200.0)

REFUSED = [
    (water_column.column_ft, (-15.0,), "no absolute pressure is below nothing"),
    (water_column.column_psi, (-40.0,), "between -33.9 and 3000 ft"),
    (water_column.column_of_vacuum_ft, (31.0,), "No vacuum is deeper"),
    (water_column.density_kg_m3, (20.0,), "liquid water"),
    (vapour.vapour_psi, (31.0,), "from freezing to 300 degF"),
    (vapour.vapour_psi, (500.0,), "from freezing to 300 degF"),
    (atmosphere.atmosphere_psi, (40000.0,), "higher than any mountain"),
    (suction.npsh_available_ft, (20.0, 0.0, 10000.0, 212.0), "boils at 10000 ft"),
    (suction.npsh_available_ft, (20.0, -1.0), "Friction of -1 ft cannot be"),
    (suction.margin_ft, (1000.0,), "Lift of 1000 ft cannot be"),
    (friction.friction_ft, (8.0, 100.0, 0.0), "Bore of 0 in cannot be"),
    (friction.friction_ft, (8.0, 100.0, 1.0, 1.0), "New plastic is about 150"),
    (friction.friction_ft, (-8.0, 100.0, 1.0), "Flow of -8 gpm"),
    (friction.roughness_of, ("glass",), "no kind of pipe `glass`"),
    (pipe.bore_in, ("glass", "1"), "no kind of pipe `glass`: pvc"),
    (pipe.bore_in, ("pvc", "7"), "give its bore"),
    (pipe.priming_gal, (1.0, 10.0, Between(0.5, 99.0)), "Case of 99 gal"),
    (tank.drawdown_share, (28.0, 50.0, 30.0), "Give the lower number first"),
    (tank.drawdown_share, (28.0, 30.0, 30.0), "does not stop at 30 psi"),
    (tank.drawdown_share, (50.0, 30.0, 50.0), "Let air out to 28 psi"),
    (tank.drawdown_share, (-16.0, 30.0, 50.0), "Precharge of -16 psi"),
    (tank.drawdown_gal, (0.0, 28.0, 30.0, 50.0), "Tank of 0 gal"),
    (tank.tank_needed_gal, (10.0, 35.0, 30.0, 50.0), "above the cut-in of 30 psi"),
    (tank_air.above_precharge, (28.0, 20.0), "holds no water"),
    (tank_air.air_of_drawdown, (0.0, 30.0, 50.0), "Drawdown of 0 gal"),
    (leak.leak_gpm, (50.0, 55.0, 10.0, AIR), "The gauge rose from 50 to 55 psi"),
    (leak.leak_gpm, (50.0, 45.0, 0.0, AIR), "A leak needs time to show"),
    (leak.leak_gpm, (50.0, -20.0, 10.0, AIR), "End of -20 psi"),
    (leak.leak_from_starts_gpm, (10.0, 0.0), "Idle minutes of 0 min"),
    (cycling.run_minutes, (5.0, 5.0, 10.0), "never stops"),
    (cycling.idle_minutes, (0.0, 10.0), "does not start again"),
    (cycling.worst_starts_per_hour, (0.0, 10.0), "brings no water"),
    (pump_flow.pump_flow_gpm, (10.0, 0.0), "Seconds of 0 s"),
    (pump_flow.fill_seconds, (10.0, 5.0, 6.0), "never fills the tank"),
    (hole.hole_gpm, (0.1, -5.0), "Only pressure drives water out"),
    (hole.hole_gpm, (0.1, 50.0, 3.0), "A sharp hole is about 0.6"),
    (hole.drips_gal_day, (50.0,), "it is a stream"),
    (voltage.voltage_window_v, (0.0,), "motor's plate"),
    (voltage.wire_ohm, (15.5, 100.0), "no AWG 15.5"),
    (voltage.wire_ohm, (40.0, 100.0), "no AWG 40"),
    (motor.full_load_a, (0.4, 115.0), "no motor of 0.4 hp"),
    (motor.full_load_a, (0.5, 480.0), "no single-phase supply of 480 V"),
    (motor.load_share, (5.0, 0.0), "Plate of 0 A"),
    (motor.load_share, (5.0, 4.0, 0.5), "as SF"),
    (insulation.insulation_band, (-1.0,), "Resistance of -1 Mohm"),
    (gauge.gauge_error_psi, (120.0, 100.0), "cannot read 120 psi"),
    (gauge.gauge_error_psi, (50.0, 100.0, "Z"), "no grade `Z`"),
    (dead_head.minutes_to, (250.0, 0.5, 0.5), "stay away"),
    (dead_head.rise_degf_per_minute, (0.5, 0.0), "Water of 0 gal"),
    (bleach.bleach_floz, (1000.0, 5000.0), "Rules ask for 50 to 200"),
    (bleach.bleach_floz, (1000.0, 50.0, 60.0), "stands on the bottle"),
    (cistern.floor_gal_ft, (-8.0, 8.0), "Width of -8 ft"),
    (water_left.days_left, (100.0, Between(0.0, 0.0)), "lasts for ever"),
    (water_left.days_left, (100.0, Between(-5.0, 5.0)), "Use of -5 gal/day"),
    (water_left.people_gal_day, (0.0,), "People of 0"),
    (demand.peak_demand_gpm, ({"fountain": 1},), "no fixture `fountain`"),
    (demand.peak_demand_gpm, ({"shower": -1},), "Fixtures of -1"),
]

NOT_NUMBERS = [
    (function, arguments)
    for function, arguments, _ in REFUSED
    if all(isinstance(each, float) for each in arguments)
]


@pytest.mark.parametrize(("function", "arguments", "reason"), REFUSED)
def test_refused_with_the_reason(function, arguments, reason):
    with pytest.raises(UnfitNumberError) as refused:
        function(*arguments)
    assert reason in str(refused.value)
    assert str(refused.value).endswith(".")


@pytest.mark.parametrize("nonsense", [math.nan, math.inf, -math.inf])
@pytest.mark.parametrize(("function", "arguments"), NOT_NUMBERS)
def test_no_number_at_all(function, arguments, nonsense):
    for place in range(len(arguments)):
        with pytest.raises(UnfitNumberError):
            function(*arguments[:place], nonsense, *arguments[place + 1 :])


@pytest.mark.parametrize("name", limits.LIMITS)
def test_limits(name):
    limit = limits.LIMITS[name]
    for within in (limit.low, limit.high):
        limits.possible(**{name: within})
    span = limit.high - limit.low
    for beyond in (limit.low - span, limit.high + span, math.nan):
        with pytest.raises(UnfitNumberError, match=rf"(?i){limits.spoken(name)}|no number"):
            limits.possible(**{name: beyond})


def test_names_are_said_without_their_units():
    assert limits.spoken("cut_in_psi") == "cut-in"
    assert limits.spoken("strength_percent") == "strength"
    assert limits.spoken("leak_gal_day") == "leak"
    assert limits.spoken("target_mg_l") == "target"
    assert limits.spoken("vacuum_inhg") == "vacuum"
    assert limits.spoken("people") == "people"
