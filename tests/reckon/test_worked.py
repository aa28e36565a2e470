"""The computations of readings agree with the calculators, and refuse what cannot be."""

import pytest

from faultnet.reckon.between import Between
from faultnet.reckon.leak import leak_gpm
from faultnet.reckon.tank_air import air_of_drawdown, air_of_precharge, air_of_volume
from faultnet.reckon.units import UNITS, UnfitNumberError, quantity
from faultnet.reckon.worked import COMPUTATIONS, INSTEAD, leak_rate, worked_out


def test_every_part_has_a_unit_that_exists():
    for each in (*COMPUTATIONS.values(), *(way for ways in INSTEAD.values() for way in ways)):
        assert each.unit in UNITS
        assert set(each.needs.values()) <= UNITS.keys()


def test_what_is_worked_out_has_the_unit_it_is_needed_in():
    for part, ways in INSTEAD.items():
        wanted = {each.needs[part] for each in COMPUTATIONS.values() if part in each.needs}
        assert {way.unit for way in ways} == wanted


def test_leak_is_that_of_the_calculator():
    air = air_of_volume(3.0, 50.0)
    assert leak_rate(50.0, 45.0, 10.0, 3.0) == pytest.approx(leak_gpm(50, 45, 10, air, 0.0).low)


def test_a_small_rise_is_less_than_nothing_and_a_large_one_refused():
    assert leak_rate(50.0, 51.0, 10.0, 3.0) < 0.0
    with pytest.raises(UnfitNumberError, match="rose"):
        leak_rate(50.0, 53.0, 10.0, 3.0)


@pytest.mark.parametrize(
    ("given", "air"),
    [
        ({"tank": 20, "precharge": 28, "start": 50}, air_of_precharge(20, 28)),
        ({"drawdown": 6, "cut-in": 30, "cut-out": 50, "start": 50}, air_of_drawdown(6, 30, 50)),
    ],
)
def test_air_is_worked_out_of_what_was_measured(given, air):
    way = worked_out("air", given)
    at_start = way.of(*(given[part] for part in way.needs))
    assert air_of_volume(at_start.low, 50).low == pytest.approx(air.low)


def test_of_a_tank_alone_the_air_is_a_range():
    assert worked_out("air", {"tank": 44.0}).of(44.0) == Between(0.1, 44.0)
    assert worked_out("air", {"start": 50.0}) is None


NOT_POSSIBLE = [
    ("flow-share", (5.0, 60.0, 0.0)),
    ("voltage-share", (110.0, 0.0)),
    ("wire-loss", (0.0, 0.0)),
    ("past-range", (100.0, 0.0, 50.0)),
    ("past-tolerance", (25.0, 0.0, 6.0)),
    ("drawdown-share", (5.0, 0.0, 30.0, 50.0)),
    ("amps-share", (5.0, 0.0, 1.0)),
    ("leak-rate", (50.0, 45.0, 0.0, 1.0)),
]


@pytest.mark.parametrize(("name", "parts"), NOT_POSSIBLE)
def test_what_cannot_be_is_refused(name, parts):
    with pytest.raises(UnfitNumberError):
        COMPUTATIONS[name].of(*parts)


@pytest.mark.parametrize(
    ("text", "wanted", "value"),
    [
        ("1.15", "number", 1.15),
        ("115%", "number", 1.15),
        ("25MFD", "uF", 25.0),
        ("25\u00b5F", "uF", 25.0),
        ("6%", "%", 6.0),
    ],
)
def test_plain_numbers_shares_and_capacitors(text, wanted, value):
    assert quantity(text, wanted) == pytest.approx(value)
