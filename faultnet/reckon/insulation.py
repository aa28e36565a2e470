"""Insulation of a motor and its wire, by its resistance to ground."""

from faultnet.reckon.limits import possible

BANDS = (
    (20.0, "as new"),
    (10.0, "good for a used motor"),
    (2.0, "serviceable"),
    (0.5, "suspect"),
    (0.02, "poor"),
    (0.0, "failed"),
)
"""From so many megohms up. A maker's sheet for well motors, name withheld: new 20 and more,
used 10 and more, in service 2 and more, 0.5 to 2 suspect, under 0.02 failed; `poor` between
these two is judgement. Another page calls 2 and less bad and 10 good: the bands disagree."""


def insulation_band(resistance_mohm: float) -> str:
    """Return what a resistance to ground is called; see ``BANDS``."""
    possible(resistance_mohm=resistance_mohm)
    return next(name for least, name in BANDS if resistance_mohm >= least)


def least_insulation_mohm(supply_v: float) -> float:
    """Return one megohm plus one for each kilovolt (rule of thumb)."""
    possible(supply_v=supply_v)
    return 1.0 + supply_v / 1000.0
