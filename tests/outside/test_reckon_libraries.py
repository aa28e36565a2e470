"""Our lines of arithmetic against libraries that others keep: fluids, iapws, pint."""

from fractions import Fraction
from math import pi

import pint
import pytest
from fluids.atmosphere import ATMOSPHERE_1976
from fluids.core import Reynolds
from fluids.friction import Colebrook
from fluids.piping import gauge_from_t, nearest_pipe, t_from_gauge
from iapws import IAPWS95, IAPWS97

from faultnet.reckon.atmosphere import atmosphere_psi
from faultnet.reckon.dead_head import HEAT_J_KG_K
from faultnet.reckon.friction import (
    ROUGHNESS,
    SLOW_FT_S,
    VISCOSITY_M2_S,
    friction_ft,
    speed_ft_s,
    turbulent,
)
from faultnet.reckon.pipe import BORES_IN
from faultnet.reckon.units import UNITS, converted
from faultnet.reckon.vapour import vapour_psi
from faultnet.reckon.voltage import COPPER_OHM_M, wire_ohm
from faultnet.reckon.water_column import density_kg_m3

PINT = {
    "psi": "psi",
    "inHg": "inHg",
    "gpm": "gallon/minute",
    "gal/day": "gallon/day",
    "L/day": "liter/day",
    "L/min": "liter/minute",
    "L/s": "liter/second",
    "m3/h": "meter**3/hour",
    "m3": "meter**3",
    "ft3": "foot**3",
    "floz": "US_fluid_ounce",
    "mg/L": "milligram/liter",
    "number": "dimensionless",
    "%": "percent",
    "ohm": "ohm",
    "kohm": "kiloohm",
    "Mohm": "megaohm",
    "hp": "horsepower",
    "in": "inch",
    "ft/s": "foot/second",
    "m/s": "meter/second",
}
"""What pint calls a unit where it does not call it the same."""


@pytest.fixture(scope="module")
def registry():
    return pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


@pytest.mark.parametrize("name", UNITS)
def test_units_are_those_of_pint(name, registry):
    for other, unit in UNITS.items():
        if unit.measures != UNITS[name].measures:
            continue
        theirs = registry.Quantity(7.5, PINT.get(name, name)).to(PINT.get(other, other)).magnitude
        assert converted(7.5, name, other) == pytest.approx(theirs, rel=1e-6), other


@pytest.mark.parametrize("altitude", [-4000, 0, 820, 5280, 12000, 30000])
def test_atmosphere(altitude):
    theirs = ATMOSPHERE_1976(converted(altitude, "ft", "m")).P
    assert converted(atmosphere_psi(altitude), "psi", "Pa") == pytest.approx(theirs, rel=1e-5)


@pytest.mark.parametrize("heat", [33, 50, 70, 100, 140, 180, 212, 299])
def test_vapour_pressure(heat):
    kelvin = converted(heat, "degF", "degC") + 273.15
    theirs = IAPWS97(T=kelvin, x=0.0).P * 1e6
    assert converted(vapour_psi(heat), "psi", "Pa") == pytest.approx(theirs, rel=5e-4)


@pytest.mark.parametrize("heat", [33, 39.2, 50, 68, 100, 140, 180, 210])
def test_density(heat):
    kelvin = converted(heat, "degF", "degC") + 273.15
    assert density_kg_m3(heat) == pytest.approx(IAPWS95(T=kelvin, P=0.101325).rho, rel=2e-5)


def test_specific_heat():
    assert IAPWS97(T=300.0, P=0.101325).cp * 1000.0 == pytest.approx(HEAT_J_KG_K, rel=3e-3)
    assert IAPWS97(T=360.0, P=0.3).cp * 1000.0 == pytest.approx(HEAT_J_KG_K, rel=5e-3)


def test_viscosity():
    water = IAPWS97(T=283.15, P=0.101325)
    assert water.mu / water.rho == pytest.approx(VISCOSITY_M2_S, rel=5e-3)


@pytest.mark.parametrize("size", ["3/4", "1", "1-1/4", "1-1/2", "2"])
def test_steel_bores(size):
    nominal = float(sum(Fraction(part) for part in size.split("-")))
    _, inside, _, _ = nearest_pipe(NPS=nominal, schedule="40")
    assert BORES_IN["steel"][size] == pytest.approx(converted(inside, "m", "in"), abs=0.002)


def darcy_ft(flow, bore, viscosity):
    """Return the head lost in 100 ft of smooth plastic by the law of Darcy and Colebrook."""
    metres, speed = converted(bore, "in", "m"), converted(speed_ft_s(flow, bore), "ft/s", "m/s")
    factor = Colebrook(Reynolds(D=metres, V=speed, nu=viscosity), 1.5e-6 / metres)
    return 100.0 * factor / metres * speed**2 / (2.0 * 9.80665)


@pytest.mark.parametrize("size", ["3/4", "1", "1-1/4", "1-1/2", "2"])
@pytest.mark.parametrize("viscosity", [1.31e-6, 1.12e-6])  # water at 50 and 60 degF
def test_friction_is_that_of_darcy_and_colebrook(size, viscosity):
    # The formula of Hazen and Williams is a fit: good at usual flows, low at slow ones.
    bore = BORES_IN["pvc"][size]
    for flow in range(2, 60):
        speed = speed_ft_s(flow, bore)
        if not turbulent(flow, bore) or speed > 8.0:
            continue
        ratio = friction_ft(flow, 100.0, bore, ROUGHNESS["pvc"]) / darcy_ft(flow, bore, viscosity)
        assert (0.95 if speed >= SLOW_FT_S else 0.80) < ratio < 1.14, flow


@pytest.mark.parametrize("awg", [8, 10, 12, 14])
def test_wire(awg):
    # In that table gauges of wire stand under AWG, in metres.
    width = t_from_gauge(awg, schedule="AWG")
    assert gauge_from_t(width, schedule="AWG") == awg
    theirs = COPPER_OHM_M * 304.8 / (pi / 4.0 * width**2)
    assert wire_ohm(awg, 1000.0) == pytest.approx(theirs, rel=0.005)
