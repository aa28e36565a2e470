"""Cisterns and bleach against published figures; the source stands beside each."""

import pytest

from faultnet.reckon.bleach import CONTACT, bleach_floz, strength_mg_l
from faultnet.reckon.cistern import casing_gal_ft, floor_gal_ft, round_gal_ft


def test_gallons_to_the_cubic_foot():
    # 7.48, which the CDC page on cisterns rounds to 7.5.
    assert floor_gal_ft(1, 1) == pytest.approx(7.48, abs=0.005)
    assert floor_gal_ft(1, 1) == pytest.approx(7.5, abs=0.05)


def test_usual_cisterns():
    # Reckoned apart from the program: 8 by 8 ft, gallons to the inch; 6 ft round, to the foot.
    assert floor_gal_ft(8, 8) / 12 == pytest.approx(39.9, abs=0.05)
    assert round_gal_ft(6) == pytest.approx(211.5, abs=0.05)


def test_six_inch_casing():
    # 1.47 gal to the foot, as tables of well casing print it (from memory).
    assert casing_gal_ft(6) == pytest.approx(1.47, abs=0.005)


@pytest.mark.parametrize(("percent", "ounces"), [(5.25, 113), (6.0, 99), (8.25, 72)])
def test_bleach_to_a_thousand_gallons(percent, ounces):
    # Reckoned apart from the program for 50 mg/L.
    assert bleach_floz(1000, 50, percent) == pytest.approx(ounces, abs=0.5)


def test_rule_of_a_county():
    # Marion County, Oregon: 2 cups of 5 % bleach to 100 gal for 8 h, about 67 mg/L.
    assert strength_mg_l(16, 100, 5.0) == pytest.approx(67, abs=0.6)
    assert (67.0, 8.0) in [(mg_l, hours) for mg_l, hours, _ in CONTACT]


def test_scrubbing_of_a_cistern():
    # CDC, disinfecting a cistern: 8 fl oz of 5.25 % to 10 gal, about 352 mg/L.
    assert strength_mg_l(8, 10, 5.25) == pytest.approx(352, abs=1)


def test_time_and_strength_of_local_rules():
    # Loudoun County, Virginia, and San Bernardino County, California: 50 mg/L for 24 h.
    # Cattaraugus County, New York: 12 h.
    assert [(mg_l, hours) for mg_l, hours, _ in CONTACT[:2]] == [(50.0, 24.0), (50.0, 12.0)]


def test_dose_and_strength_are_one_thing():
    for percent in (5.25, 6.0, 8.25, 12.5):
        ounces = bleach_floz(740, 120, percent)
        assert strength_mg_l(ounces, 740, percent) == pytest.approx(120)
