"""How big the leak is, and whether the gauge can be believed."""

import msgspec
from msgspec import structs

from faultnet.reckon import hole, leak, tank_air
from faultnet.reckon.answer import Answer, figure, rounded
from faultnet.reckon.ask import Ask, Pair
from faultnet.reckon.between import Between
from faultnet.reckon.calculator import Calculator
from faultnet.reckon.calculators.asks import ALTITUDE, SETTINGS, WATER
from faultnet.reckon.calculators.tank import DRAWDOWN
from faultnet.reckon.cautions import LOCAL, STORED
from faultnet.reckon.gauge import GRADES, gauge_error_psi, gauges_agree
from faultnet.reckon.units import UnfitNumberError, converted

USUAL_PSI = (30.0, 50.0)
GAL_DAY = converted(1.0, "gpm", "gal/day")
BOYLE = "PV (1/P2 - 1/P1) / minutes, absolute (Boyle)"
EVERY = Ask(
    name="every",
    key="idle_minutes",
    about="From a stop to the next start, no water used",
    units=("min",),
)
START = Ask(name="start", key="start_psi", about="First reading", units=("psi",))
TANK = Ask(name="tank", key="tank_gal", about="Size of the tank", units=("gal",), option=True)
PRECHARGE = Ask(
    name="precharge",
    key="precharge_psi",
    about="Air reading with the water side empty",
    units=("psi",),
    option=True,
)


class Air(msgspec.Struct, frozen=True):
    """What is known of the air in the tank, one way or none."""

    tank_gal: float | None = None
    precharge_psi: float | None = None
    drawdown_gal: float | None = None
    air_gal: float | None = None
    settings: Pair | None = None


def fall(
    start_psi: float,
    end_psi: float,
    minutes: float,
    readable_psi: float,
    altitude_ft: float,
    air: Air,
) -> Answer:
    """Tell the leak from a fall of the gauge, as closely as the tank is known."""
    held, known, assumed = _held(air, start_psi, end_psi, altitude_ft)
    found = leak.leak_gpm(start_psi, end_psi, minutes, held, readable_psi, altitude_ft)
    says = [known]
    if found.low == 0.0:
        says.append("The fall is no more than the gauge can hide: there may be no leak at all.")
    return Answer(
        (
            figure("leak", "Leak", found, "gpm"),
            figure("leak-per-day", "In a day", found.times(GAL_DAY), "gal/day"),
        ),
        BOYLE,
        ("Boyle's law", "readable fall and least air: judgement"),
        tuple(says),
        ("Pump off, no water used", *assumed),
        (STORED, LOCAL),
    )


def _held(
    air: Air, start_psi: float, end_psi: float, altitude_ft: float
) -> tuple[Between, str, tuple[str, ...]]:
    """Return the air in the tank, how it is known, and what was taken for granted."""
    if sum(each is not None for each in (air.drawdown_gal, air.air_gal, air.precharge_psi)) > 1:
        raise UnfitNumberError("Give the air of the tank one way: drawdown, precharge or air.")
    if air.precharge_psi is not None and air.tank_gal is None:
        raise UnfitNumberError("A precharge alone does not tell the air: give the tank as well.")
    if air.drawdown_gal is not None:
        start, stop = air.settings or Pair(*USUAL_PSI)
        held = tank_air.air_of_drawdown(air.drawdown_gal, start, stop, altitude_ft)
        usual = (f"Switch at {start:g}/{stop:g}psi (settings not given)",)
        return held, "The air was measured by the drawdown.", () if air.settings else usual
    if air.air_gal is not None:
        return tank_air.air_of_volume(air.air_gal, start_psi, altitude_ft), "The air was given.", ()
    if air.tank_gal is not None and air.precharge_psi is not None:
        tank_air.above_precharge(air.precharge_psi, end_psi)
        held = tank_air.air_of_precharge(air.tank_gal, air.precharge_psi, altitude_ft)
        return held, "The air is known by the precharge.", ()
    size = tank_air.LARGEST_TANK_GAL if air.tank_gal is None else air.tank_gal
    known = (
        "The air in the tank is not known, so this tells little. Catch the water from stop "
        "to start in a bucket and give it as --drawdown."
    )
    widest = (f"Between {tank_air.LEAST_AIR_GAL:g} gal of air and {size:g} gal of tank",)
    return tank_air.air_unknown(start_psi, end_psi, size, altitude_ft), known, widest


def restarts(drawdown_gal: float, idle_minutes: float) -> Answer:
    """Tell the leak that makes the pump start with no water used."""
    found = leak.leak_from_starts_gpm(drawdown_gal, idle_minutes)
    return Answer(
        (
            figure("leak", "Leak", found, "gpm"),
            figure("leak-per-day", "In a day", found * GAL_DAY, "gal/day"),
            figure("hold", "Watch the gauge at least", leak.hold_minutes(idle_minutes), "min"),
        ),
        "drawdown / time from stop to start",
        ("arithmetic", "0.15 of the interval and at least 15 min: judgement"),
        ("The drawdown must be caught today: with the tank's air gone it is far less.",),
    )


def hold(
    idle_minutes: float,
    start_psi: float,
    readable_psi: float,
    altitude_ft: float,
    tank_gal: float | None = None,
    precharge_psi: float | None = None,
) -> Answer:
    """Tell how long to watch the gauge, and the smallest leak it then shows."""
    minutes = leak.hold_minutes(idle_minutes)
    figures = [figure("hold", "Watch the gauge at least", minutes, "min")]
    says = ["Let the gauge settle 3 minutes before the first reading (from memory)."]
    if (tank_gal is None) != (precharge_psi is None):
        raise UnfitNumberError("The smallest leak needs both tank and precharge.")
    if tank_gal is not None and precharge_psi is not None:
        tank_air.above_precharge(precharge_psi, start_psi - readable_psi)
        held = tank_air.air_of_precharge(tank_gal, precharge_psi, altitude_ft)
        least = leak.smallest_leak_gpm(start_psi, minutes, held, readable_psi, altitude_ft)
        figures.append(figure("smallest", "Smallest leak it shows", least, "gpm"))
        figures.append(figure("smallest-per-day", "In a day", least.times(GAL_DAY), "gal/day"))
    return Answer(
        tuple(figures),
        f"max(15 min, 0.15 of the interval); smallest leak: {BOYLE}",
        ("0.15 of the interval and at least 15 min: judgement", "Boyle's law"),
        tuple(says),
        cautions=(STORED, LOCAL),
    )


def jet(hole_in: float, head_psi: float, discharge: float, water_degf: float) -> Answer:
    """Tell what a hole loses."""
    found = hole.hole_gpm(hole_in, head_psi, discharge, water_degf)
    return Answer(
        (
            figure("flow", "Out of the hole", found, "gpm"),
            figure("flow-per-day", "In a day", found * GAL_DAY, "gal/day"),
        ),
        "discharge x area x root of (2 P / density) (Torricelli)",
        ("textbooks of hydraulics; leak charts of public utilities print up to 6 % more",),
        ("The flow goes with the root of the pressure.",),
        cautions=(STORED, LOCAL),
    )


def drip(drips_per_second: float) -> Answer:
    """Tell what a drip loses."""
    found = hole.drips_gal_day(drips_per_second)
    return Answer(
        (
            figure("loss", "In a day", found, "gal/day"),
            figure("loss-per-year", "In a year", found.times(365.25), "gal"),
        ),
        "drips x water in one",
        ("US Geological Survey, from memory; a city's page citing the US EPA",),
        assumed=("A drip is 0.25 to 0.36 mL: sources disagree",),
    )


def gauge(
    reading_psi: float, span_psi: float, grade: str, other_psi: float | None = None
) -> Answer:
    """Tell how far a reading may be off."""
    error = gauge_error_psi(reading_psi, span_psi, grade)
    says = ["A second reading of the same gauge shares its error: a fall is read more closely."]
    if other_psi is not None:
        sound = gauges_agree(reading_psi, other_psi, span_psi, grade)
        fits = "may both be sound" if sound else "cannot both be sound; try a third"
        says.insert(
            0, f"{rounded(reading_psi)} and {rounded(other_psi)} psi: the two gauges {fits}."
        )
    return Answer(
        (
            figure("error", "Off by up to, either way", error, "psi"),
            figure(
                "true", "True pressure", Between(reading_psi - error, reading_psi + error), "psi"
            ),
        ),
        "per cent of the span by quarter of the dial",
        ("ASME B40.100: outer quarters of grade A seen, all else from memory",),
        tuple(says),
        ("A sound gauge of its grade; a gauge that has been frozen or hammered is not",),
        (STORED, LOCAL),
    )


CALCULATORS = {
    "leak": Calculator(
        (
            START,
            Ask(name="end", key="end_psi", about="Second reading", units=("psi",)),
            Ask(name="time", key="minutes", about="Time between them", units=("min",)),
            TANK,
            PRECHARGE,
            Ask(
                name="drawdown",
                key="drawdown_gal",
                about="Water caught from stop to start",
                units=("gal",),
                option=True,
            ),
            structs.replace(SETTINGS, option=True, default=""),
            Ask(
                name="air",
                key="air_gal",
                about="Air in the tank at the first reading",
                units=("gal",),
                option=True,
            ),
            Ask(
                name="readable",
                key="readable_psi",
                about="Fall that can be told on the gauge",
                units=("psi",),
                default="1psi",
                option=True,
            ),
            ALTITUDE,
        ),
        fall,
        "50psi 44psi 15min --drawdown 12gal",
        {"air": Air},
    ),
    "restarts": Calculator((DRAWDOWN, EVERY), restarts, "12gal 40min"),
    "hold": Calculator(
        (
            EVERY,
            TANK,
            PRECHARGE,
            Ask(
                name="start",
                key="start_psi",
                about="First reading",
                units=("psi",),
                default="50psi",
                option=True,
            ),
            Ask(
                name="readable",
                key="readable_psi",
                about="Fall that can be told on the gauge",
                units=("psi",),
                default="2psi",
                option=True,
            ),
            ALTITUDE,
        ),
        hold,
        "2h --tank 44gal --precharge 28psi",
    ),
    "hole": Calculator(
        (
            Ask(name="hole", key="hole_in", about="Width of the hole", units=("in",)),
            Ask(
                name="pressure",
                key="head_psi",
                about="Pressure behind it",
                units=("psi",),
                default="50psi",
            ),
            Ask(
                name="discharge",
                key="discharge",
                about="Part of the ideal flow: 0.6 sharp, 1 smooth",
                default="0.6",
                option=True,
            ),
            WATER,
        ),
        jet,
        "1/16in 60psi",
    ),
    "drip": Calculator(
        (Ask(name="rate", key="drips_per_second", about="Drips per second", default="1"),),
        drip,
        "2",
    ),
    "gauge": Calculator(
        (
            Ask(name="reading", key="reading_psi", about="What it reads", units=("psi",)),
            Ask(
                name="span",
                key="span_psi",
                about="Highest number on the dial",
                units=("psi",),
                default="100psi",
            ),
            Ask(
                name="grade",
                key="grade",
                about="Grade of ASME B40.100",
                choices=tuple(GRADES),
                default="B",
                option=True,
            ),
            Ask(
                name="other",
                key="other_psi",
                about="What a second gauge reads",
                units=("psi",),
                option=True,
            ),
        ),
        gauge,
        "50psi --other 46psi",
    ),
}
"""The calculators of this subject by name."""
