"""How long the water lasts."""

from faultnet.reckon.between import Between
from faultnet.reckon.limits import possible
from faultnet.reckon.units import UnfitNumberError

PER_PERSON_GAL_DAY = Between(50.0, 100.0)
"""What a person uses in a day (Penn State Extension, 2022)."""


def people_gal_day(people: float) -> Between:
    """Return what a household uses in a day."""
    possible(people=people)
    return PER_PERSON_GAL_DAY.times(people)


def days_left(water_gal: float, use_gal_day: Between, leak_gal_day: float = 0.0) -> Between:
    """Return the days until the water is gone, the longest last.

    Raises ``UnfitNumberError`` where nothing is taken at all.
    """
    possible(water_gal=water_gal, leak_gal_day=leak_gal_day)
    for each in use_gal_day:
        possible(use_gal_day=each)
    least, most = (each + leak_gal_day for each in use_gal_day)
    if least <= 0.0:
        raise UnfitNumberError("With no use and no leak it lasts for ever. Give people or a use.")
    return Between(water_gal / most, water_gal / least)
