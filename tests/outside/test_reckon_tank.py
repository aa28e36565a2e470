"""Tank, cycling, demand and life in figures of the trade; the source stands beside each."""

import pytest

from faultnet.reckon.cycling import (
    REST_SECONDS,
    STARTS_PER_DAY,
    drawdown_needed_gal,
    rules_for,
    starts_per_hour,
    worst_starts_per_hour,
)
from faultnet.reckon.demand import ALLOWANCE_GPM, peak_demand_gpm
from faultnet.reckon.pump_flow import fill_seconds, pump_flow_gpm
from faultnet.reckon.tank import drawdown_gal, drawdown_share, right_precharge_psi
from faultnet.reckon.tank_air import LARGEST_TANK_GAL, air_of_drawdown, air_of_precharge
from faultnet.reckon.water_left import PER_PERSON_GAL_DAY, days_left, people_gal_day

# Reckoned apart from the program: settings, precharge, part of the tank.
SHARES = [
    ((20, 40), 18, 0.345),
    ((30, 50), 28, 0.295),
    ((40, 60), 38, 0.258),
    ((20, 40), 20, 0.366),
    ((30, 50), 30, 0.309),
    ((40, 60), 40, 0.268),
    ((20, 40), 0, 0.155),
    ((30, 50), 0, 0.102),
    ((40, 60), 0, 0.072),
    ((30, 50), 10, 0.171),
    ((30, 50), 20, 0.240),
    ((30, 50), 35, 0.232),
    ((30, 50), 40, 0.155),
]

# Reckoned apart from the program: gallons, and drawdown with the precharge 2 psi under.
DRAWDOWNS = [
    (20, (6.89, 5.91, 5.16)),
    (44, (15.16, 12.99, 11.35)),
    (86, (29.63, 25.40, 22.18)),
    (119, (41.0, 35.14, 30.70)),
]


@pytest.mark.parametrize(("settings", "precharge", "share"), SHARES)
def test_part_of_the_tank(settings, precharge, share):
    assert drawdown_share(precharge, *settings) == pytest.approx(share, abs=0.0006)


@pytest.mark.parametrize(("gallons", "drawdowns"), DRAWDOWNS)
def test_drawdown_of_usual_tanks(gallons, drawdowns):
    for cut_in, drawdown in zip((20, 30, 40), drawdowns, strict=True):
        right = right_precharge_psi(cut_in)
        found = drawdown_gal(gallons, right, cut_in, cut_in + 20)
        assert found == pytest.approx(drawdown, abs=0.01)


def test_worked_example_of_the_trade_press():
    # Trade press on captive air: 85 gal, 28 psi of air, 30/50: factor .295, 25.1 gal.
    assert drawdown_share(28, 30, 50) == pytest.approx(0.295, abs=0.0005)
    assert drawdown_gal(85, 28, 30, 50) == pytest.approx(25.1, abs=0.05)
    # The same tank at 6000 ft, reckoned apart from the program: 26.2 gal.
    assert drawdown_gal(85, 28, 30, 50, 6000) == pytest.approx(26.2, abs=0.05)


def test_rated_drawdowns_take_precharge_and_start_as_equal():
    # Trade press: a 119 gal tank is rated 36.8 gal at 30/50. A service page: 44 gal give
    # "about 16 gal", which is 20/40. Both come out with the precharge at the cut-in.
    assert drawdown_gal(119, 30, 30, 50) == pytest.approx(36.8, abs=0.05)
    assert drawdown_gal(44, 20, 20, 40) == pytest.approx(16.0, abs=0.1)
    for rated, gallons, cut_in in ((36.8, 119, 30), (16.0, 44, 20)):
        true = drawdown_gal(gallons, right_precharge_psi(cut_in), cut_in, cut_in + 20)
        assert 1.04 < rated / true < 1.06


def test_precharge_and_largest_tank():
    # Trade press: precharge 2 psi under the cut-in; the largest with its air in it, 119 gal.
    assert right_precharge_psi(30) == 28
    assert LARGEST_TANK_GAL == 119


def test_air_by_drawdown_is_air_by_precharge():
    drawdown = drawdown_gal(44, 28, 30, 50)
    assert air_of_drawdown(drawdown, 30, 50) == pytest.approx(air_of_precharge(44, 28))


def test_least_run_of_a_minute():
    # Trade press: run a minute at least, so 10 gpm need 10 gal. It makes 15 starts an hour at
    # worst, the limit of the tank standard up to 3/4 hp and of NEMA MG 10 at 1 hp.
    assert drawdown_needed_gal(10.0) == 10.0
    assert worst_starts_per_hour(10.0, drawdown_needed_gal(10.0)) == pytest.approx(15.0)
    # A standard that allows half of it needs twice the drawdown.
    assert worst_starts_per_hour(10.0, 20.0) == pytest.approx(7.5)
    # Reckoned apart from the program: one gallon left on a 10 gpm pump.
    assert worst_starts_per_hour(10.0, 1.0) == pytest.approx(150.0)


def test_worst_is_at_half_the_flow():
    worst = worst_starts_per_hour(8.0, 6.0)
    assert starts_per_hour(8.0, 4.0, 6.0) == pytest.approx(worst)
    assert all(starts_per_hour(8.0, q / 10, 6.0) <= worst + 1e-9 for q in range(1, 80))


def test_limits_on_starts():
    # Tank performance standard of the US water systems trade council: up to 3/4 hp 15 an hour,
    # above it 7.5, and fewer than 300 in 24 hours. NEMA MG 10 Table 2-3 (polyphase, two-pole),
    # quoted in a motor repair handbook: 15 / 12.9 / 11.5 an hour and 75 / 76 / 77 s of rest
    # at 1 / 1.5 / 2 hp. Idaho, public systems: 6 an hour.
    def limits(hp):
        return {rule.source.split()[0]: rule.starts_per_hour for rule in rules_for(hp)}

    assert limits(0.75) == {"performance": 15.0, "NEMA": 15.0, "Idaho": 6.0}
    assert limits(1.0) == {"performance": 7.5, "NEMA": 15.0, "Idaho": 6.0}
    assert limits(1.5) == {"performance": 7.5, "NEMA": 12.9, "Idaho": 6.0}
    assert limits(2.0) == {"performance": 7.5, "NEMA": 11.5, "Idaho": 6.0}
    assert limits(3.0) == {"performance": 7.5, "Idaho": 6.0}
    assert REST_SECONDS == {1.0: 75.0, 1.5: 76.0, 2.0: 77.0}
    assert STARTS_PER_DAY == 300.0


def test_flow_and_fill_are_the_same_thing_twice():
    assert pump_flow_gpm(12.0, 90.0) == pytest.approx(8.0)  # arithmetic
    assert fill_seconds(12.0, pump_flow_gpm(12.0, 90.0, 2.0), 2.0) == pytest.approx(90.0)


def test_use_of_water():
    # Penn State Extension, 2022: 50 to 100 gal a person and day.
    assert PER_PERSON_GAL_DAY == (50.0, 100.0)
    assert people_gal_day(4) == (200.0, 400.0)
    # A county's minimum: 5 gpm for 4 h, which it prints as 1200 gal.
    assert days_left(5.0 * 60.0 * 4.0, people_gal_day(4)) == (3.0, 6.0)


def test_peak_demand():
    # Private Water Systems (handbook handed out by the US EPA): allowances, and a worked house
    # with one of each that comes to 7.25 gpm.
    assert ALLOWANCE_GPM == {
        "shower": 1.0,
        "lavatory": 0.5,
        "toilet": 0.75,
        "kitchen": 1.0,
        "dishwasher": 0.5,
        "laundry_sink": 1.5,
        "washer": 2.0,
    }
    assert peak_demand_gpm(dict.fromkeys(ALLOWANCE_GPM, 1)) == pytest.approx(7.25)


# The same handbook: what each fixture runs at, gpm.
RATES = {
    "shower": 4.0,
    "lavatory": 2.0,
    "toilet": 3.0,
    "kitchen": 4.0,
    "dishwasher": 2.0,
    "laundry_sink": 6.0,
    "washer": 8.0,
}


def test_allowance_is_a_quarter_of_the_rate():
    assert {name: rate / 4.0 for name, rate in RATES.items()} == ALLOWANCE_GPM


def test_peak_agrees_with_other_rules():
    # A county rule: as many gpm as there are outlets. Penn State Extension, 2022: plan for the
    # whole day's use inside two hours, and a single shower or hose alone takes 5 gpm.
    peak = peak_demand_gpm(dict.fromkeys(ALLOWANCE_GPM, 1))
    assert peak == pytest.approx(len(ALLOWANCE_GPM), rel=0.05)
    assert peak > people_gal_day(4).high / 120.0
    assert peak > 5.0
