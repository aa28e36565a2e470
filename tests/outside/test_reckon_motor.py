"""Motors, wiring and heat against published figures; the source stands beside each."""

import pytest

from faultnet.reckon.dead_head import minutes_to, rise_degf_per_minute
from faultnet.reckon.insulation import insulation_band, least_insulation_mohm
from faultnet.reckon.motor import FULL_LOAD_A, full_load_a, wire_a
from faultnet.reckon.voltage import drop_v, torque_share, voltage_window_v, wire_ohm

# National Electrical Code, Table 430.248, three copies that agree: hp, amperes at 115, 208, 230 V.
TABLE = [
    (1 / 3, (7.2, 4.0, 3.6)),
    (1 / 2, (9.8, 5.4, 4.9)),
    (3 / 4, (13.8, 7.6, 6.9)),
    (1.0, (16.0, 8.8, 8.0)),
    (1.5, (20.0, 11.0, 10.0)),
]


@pytest.mark.parametrize(("power", "currents"), TABLE)
def test_full_load_current(power, currents):
    assert tuple(full_load_a(power, volts) for volts in (115, 208, 230)) == currents


def test_table_holds_together():
    # Twice the voltage, half the current; and the 1/3 hp of a label is 0.33.
    assert len(FULL_LOAD_A) == len(TABLE)
    for row in FULL_LOAD_A.values():
        assert row[230] == pytest.approx(row[115] / 2.0)
    assert full_load_a(0.33, 120) == 7.2
    assert full_load_a(0.5, 240) == 4.9


def test_wire_is_sized_a_quarter_over():
    # National Electrical Code: 125 % (from memory).
    assert wire_a(0.5, 115) == pytest.approx(12.25)


def test_voltage_window_and_torque():
    # NEMA MG 1, condensed, clause 9.9: 10 % of the plate at rated frequency; torque about as
    # the square of the voltage. So 103.5 to 126.5, 207 to 253, and 81 % of torque at 90 %.
    assert voltage_window_v(115) == pytest.approx((103.5, 126.5))
    assert voltage_window_v(230) == pytest.approx((207.0, 253.0))
    assert torque_share(0.9 * 115, 115) == pytest.approx(0.81)


@pytest.mark.parametrize(
    ("current", "awg", "supply", "percent"),
    [(9.8, 14, 115, 4.3), (4.9, 14, 230, 1.1), (16.0, 12, 115, 4.4)],
)
def test_voltage_drop(current, awg, supply, percent):
    # Reckoned apart from the program for 100 ft one way, running.
    assert 100.0 * drop_v(current, 100, awg) / supply == pytest.approx(percent, abs=0.05)


@pytest.mark.parametrize(("awg", "ohm"), [(14, 3.07), (12, 1.93), (10, 1.21)])
def test_resistance_of_copper(awg, ohm):
    # National Electrical Code, chapter 9 table 8: solid uncoated copper at 75 degC, ohms for
    # 1000 ft (from memory).
    assert wire_ohm(awg, 1000.0, 167.0) == pytest.approx(ohm, rel=0.01)


def test_insulation_rule_of_thumb():
    # 1 megohm and 1 for each kilovolt, so never under one.
    assert least_insulation_mohm(1000) == pytest.approx(2.0)
    assert least_insulation_mohm(115) > 1.0


@pytest.mark.parametrize(
    ("mohm", "band"),
    [
        (25, "as new"),
        (20, "as new"),
        (12, "good"),
        (10, "good"),
        (3, "serviceable"),
        (2, "serviceable"),
        (1.9, "suspect"),
        (0.5, "suspect"),
        (0.019, "failed"),
        (0, "failed"),
    ],
)
def test_insulation_bands(mohm, band):
    # A maker's sheet for well motors, name withheld. Another page calls 2 and less bad and 10
    # good: they agree that 10 is good and under 2 is not.
    assert insulation_band(mohm).startswith(band)


def test_dead_head():
    # Reckoned apart from the program, all the shaft power into the water: half a horsepower in
    # half a gallon, 5.1 degF a minute, 16 min from 60 to 140 degF, 30 to boiling; one in one
    # the same.
    for size in (0.5, 1.0):
        assert rise_degf_per_minute(size, size) == pytest.approx(5.1, abs=0.05)
        assert minutes_to(140.0, size, size) == pytest.approx(16, abs=0.5)
        assert minutes_to(212.0, size, size) == pytest.approx(30, abs=0.5)
