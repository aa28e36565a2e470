"""Water standing in a pipe, as pressure and as height."""

from faultnet.reckon.limits import possible
from faultnet.reckon.units import converted

GRAVITY = 9.80665
"""Standard acceleration of free fall, m/s2."""


def density_kg_m3(water_degf: float) -> float:
    """Return the density of air-free water at one atmosphere.

    Source: G. S. Kell, Journal of Chemical and Engineering Data 20 (1975) 97-105, given
    there for 0 to 150 degC; coefficients from memory, held in the tests against the
    steam tables of IAPWS.
    """
    possible(water_degf=water_degf)
    t = converted(water_degf, "degF", "degC")
    above = 999.83952 + 16.945176 * t - 7.9870401e-3 * t**2 - 46.170461e-6 * t**3
    above += 105.56302e-9 * t**4 - 280.54253e-12 * t**5
    return above / (1.0 + 16.879850e-3 * t)


def column_psi(column_ft: float, water_degf: float = 50.0) -> float:
    """Return the pressure at the foot of a column of water: density times g times height."""
    possible(column_ft=column_ft)
    height = converted(column_ft, "ft", "m")
    return converted(density_kg_m3(water_degf) * GRAVITY * height, "Pa", "psi")


def column_ft(pressure_psi: float, water_degf: float = 50.0) -> float:
    """Return the height of water that a pressure holds up; less than nothing for a vacuum."""
    possible(pressure_psi=pressure_psi)
    pressure = converted(pressure_psi, "psi", "Pa")
    return converted(pressure / (density_kg_m3(water_degf) * GRAVITY), "m", "ft")


def column_of_vacuum_ft(vacuum_inhg: float, water_degf: float = 50.0) -> float:
    """Return the height of water that a vacuum draws up."""
    possible(vacuum_inhg=vacuum_inhg)
    return column_ft(converted(vacuum_inhg, "inHg", "psi"), water_degf)


def vacuum_of_column_inhg(column_ft: float, water_degf: float = 50.0) -> float:
    """Return the vacuum that holds up a column of water."""
    return converted(column_psi(column_ft, water_degf), "psi", "inHg")
