"""How much water is left, and how it is disinfected."""

from faultnet.reckon import bleach, cistern, water_left
from faultnet.reckon.answer import Answer, Figure, figure
from faultnet.reckon.ask import Ask
from faultnet.reckon.between import Between
from faultnet.reckon.calculator import Calculator
from faultnet.reckon.cautions import CISTERN, DISINFECTION, LOCAL
from faultnet.reckon.units import UnfitNumberError, converted

PENN_STATE = "Penn State Extension 2022: 50 to 100 gal a person and day"
PEOPLE = Ask(name="people", key="people", about="People in the house", option=True)
STRENGTH = Ask(
    name="strength",
    key="strength_percent",
    about="Strength of the bleach, on the bottle",
    units=("%",),
    default="6%",
    option=True,
)
TARGET = Ask(
    name="target",
    key="target_mg_l",
    about="Strength in the water",
    units=("mg/L",),
    default="50mg/L",
    option=True,
)


def standing(
    *,
    depth_ft: float,
    people: float | None = None,
    round_ft: float | None = None,
    long_ft: float | None = None,
    wide_ft: float | None = None,
) -> Answer:
    """Tell the gallons in a cistern."""
    if (long_ft is None) != (wide_ft is None) or (round_ft is None) == (long_ft is None):
        raise UnfitNumberError("Give --round 6ft, or --long 8ft and --wide 8ft.")
    if long_ft is not None and wide_ft is not None:
        per_ft = cistern.floor_gal_ft(long_ft, wide_ft)
    else:
        per_ft = cistern.round_gal_ft(round_ft or 0.0)
    water = per_ft * depth_ft
    figures = [
        figure("water", "Water in it", water, "gal"),
        figure("per-inch", "One inch of depth holds", per_ft / 12.0, "gal"),
    ]
    if people is not None:
        days = water_left.days_left(water, water_left.people_gal_day(people))
        figures.append(figure("days", "Lasts, days", days))
    return Answer(
        tuple(figures),
        "floor x depth; 7.48 gal to the cubic foot",
        ("geometry", *((PENN_STATE,) if people is not None else ())),
        ("What stands below the intake cannot be pumped.",),
        cautions=(CISTERN, LOCAL),
    )


def left(
    water_gal: float,
    leak_gal_day: float,
    people: float | None = None,
    use_gal_day: float | None = None,
) -> Answer:
    """Tell the days that water lasts."""
    if (people is None) == (use_gal_day is None):
        raise UnfitNumberError("Give either --people 4 or --use 200gal/day.")
    used = (
        Between(use_gal_day, use_gal_day)
        if use_gal_day is not None
        else water_left.people_gal_day(people or 0.0)
    )
    days = water_left.days_left(water_gal, used, leak_gal_day)
    return Answer(
        (
            figure("days", "Lasts, days", days),
            figure("use", "Used in a day", used, "gal/day"),
        ),
        "water / (use + leak)",
        (PENN_STATE,) if people is not None else ("arithmetic",),
        ("Gardens, animals and a running leak come on top.",) if not leak_gal_day else (),
        ("All of it can be pumped; nothing is caught or delivered meanwhile",),
    )


def dose(volume_gal: float, target_mg_l: float, strength_percent: float) -> Answer:
    """Tell the bleach for so much water."""
    return _bleach((), volume_gal, target_mg_l, strength_percent)


def well(
    casing_in: float,
    depth_ft: float,
    pipes_gal: float,
    target_mg_l: float,
    strength_percent: float,
) -> Answer:
    """Tell the bleach for the water that stands in a well, and in the pipes."""
    volume = cistern.casing_gal_ft(casing_in) * depth_ft + pipes_gal
    figures = (figure("water", "Water to be treated", volume, "gal"),)
    return _bleach(figures, volume, target_mg_l, strength_percent)


def _bleach(
    before: tuple[Figure, ...], volume: float, target_mg_l: float, strength_percent: float
) -> Answer:
    ounces = bleach.bleach_floz(volume, target_mg_l, strength_percent)
    cups = converted(ounces, "floz", "cup")
    rules = "; ".join(
        f"{mg_l:g} mg/L for {hours:g} h ({whose})" for mg_l, hours, whose in bleach.CONTACT
    )
    return Answer(
        (
            *before,
            figure("bleach", "Bleach", ounces, "floz"),
            figure("bleach-cups", "The same in cups", cups),
            figure("bleach-gallons", "The same in gallons", converted(ounces, "floz", "gal")),
        ),
        "V x target / (strength x 1.08 kg/L - target)",
        (f"time and strength by local rules: {rules}",),
        (
            "Leave it in for as long as the local rule says; 24 hours is the longest seen.",
            "Run it to every tap until it smells of chlorine, hot ones too, then flush to waste.",
        ),
        ("Fresh bleach, per cent by weight, 1.08 kg/L; old bleach is weaker",),
        DISINFECTION,
    )


CALCULATORS = {
    "cistern": Calculator(
        (
            Ask(name="depth", key="depth_ft", about="Depth of the water", units=("ft",)),
            Ask(name="round", key="round_ft", about="Width if round", units=("ft",), option=True),
            Ask(name="long", key="long_ft", about="One side", units=("ft",), option=True),
            Ask(name="wide", key="wide_ft", about="The other side", units=("ft",), option=True),
            PEOPLE,
        ),
        standing,
        "40in --long 8ft --wide 8ft --people 4",
    ),
    "left": Calculator(
        (
            Ask(name="water", key="water_gal", about="Water that is left", units=("gal",)),
            PEOPLE,
            Ask(name="use", key="use_gal_day", about="Use", units=("gal/day",), option=True),
            Ask(
                name="leak",
                key="leak_gal_day",
                about="Leak",
                units=("gal/day",),
                default="0gal/day",
                option=True,
            ),
        ),
        left,
        "1200gal --people 4",
    ),
    "bleach": Calculator(
        (
            Ask(name="water", key="volume_gal", about="Water to be treated", units=("gal",)),
            TARGET,
            STRENGTH,
        ),
        dose,
        "1000gal --strength 8.25%",
    ),
    "bleach-well": Calculator(
        (
            Ask(name="casing", key="casing_in", about="Width of the casing", units=("in",)),
            Ask(name="depth", key="depth_ft", about="Depth of the water in it", units=("ft",)),
            Ask(
                name="pipes",
                key="pipes_gal",
                about="Water in pipes and tank besides",
                units=("gal",),
                default="0gal",
                option=True,
            ),
            TARGET,
            STRENGTH,
        ),
        well,
        "6in 80ft --pipes 50gal",
    ),
}
"""The calculators of this subject by name."""
