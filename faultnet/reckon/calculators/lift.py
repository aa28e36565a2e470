"""Can the pump lift it: water column, atmosphere, vapour, suction."""

import msgspec
from msgspec import structs

from faultnet.reckon import atmosphere, suction, vapour, water_column
from faultnet.reckon.answer import Answer, Figure, figure, rounded
from faultnet.reckon.ask import Ask, Quantity
from faultnet.reckon.between import Between
from faultnet.reckon.calculator import Calculator
from faultnet.reckon.calculators.asks import ALTITUDE, BORE, KIND, WATER
from faultnet.reckon.cautions import LOCAL, RUN_DRY, SCALD
from faultnet.reckon.friction import friction_ft as head_lost
from faultnet.reckon.friction import roughness_of
from faultnet.reckon.pipe import bore_in as bore_of
from faultnet.reckon.units import UnfitNumberError, converted

HOT_DEGF = 120.0
UNEXPLAINED_FT = 4.5
"""About 4 inHg more than was reckoned is no longer the gauge (judgement)."""
COLUMN = "height x density x g; density of water by its heat (Kell 1975)"
STANDARD = "US Standard Atmosphere 1976"
STEAM = "Wagner and Pruss 1993 (IAPWS)"


def column(*, amount: Quantity, water_degf: float) -> Answer:
    """Turn a height of water into pressure and vacuum, or one of these into a height."""
    if amount.unit == "ft":
        pressure = water_column.column_psi(amount.value, water_degf)
        figures = [figure("pressure", "Pressure at the foot", pressure, "psi")]
        if 0.0 < pressure < atmosphere.atmosphere_psi():
            vacuum = converted(pressure, "psi", "inHg")
            figures.append(figure("vacuum", "Vacuum that holds it up", vacuum, "inHg"))
    elif amount.unit == "inHg":
        height = water_column.column_of_vacuum_ft(amount.value, water_degf)
        figures = [figure("height", "Height it draws water up", height, "ft")]
    else:
        height = water_column.column_ft(amount.value, water_degf)
        figures = [figure("height", "Height it holds water up", height, "ft")]
    return Answer(tuple(figures), COLUMN, ("Kell 1975, from memory", "NIST SP 811"))


def air(altitude_ft: float, water_degf: float) -> Answer:
    """Tell the pressure of the air, three ways."""
    pressure = atmosphere.atmosphere_psi(altitude_ft)
    figures = (
        figure("pressure", "Air pressure, absolute", pressure, "psi"),
        figure("mercury", "The same in mercury", converted(pressure, "psi", "inHg"), "inHg"),
        figure(
            "height", "Water it holds up", atmosphere.atmosphere_ft(altitude_ft, water_degf), "ft"
        ),
    )
    return Answer(
        figures,
        "101325 Pa x (1 - 2.25577e-5 h)^5.25588, h in m",
        (STANDARD,),
        ("No suction gauge can read more than this here.",),
        ("A standard day; weather moves it by some 3 %",),
    )


def warm_water(water_degf: float) -> Answer:
    """Tell the vapour pressure of water."""
    figures = (
        figure("pressure", "Vapour pressure, absolute", vapour.vapour_psi(water_degf), "psi"),
        figure("height", "Lift that it takes away", vapour.vapour_ft(water_degf), "ft"),
    )
    hot = water_degf >= HOT_DEGF
    says = ("A pump that has got this hot cannot draw until it has cooled.",) if hot else ()
    return Answer(figures, STEAM, (STEAM,), says, cautions=(SCALD, LOCAL) if hot else ())


class Line(msgspec.Struct, frozen=True):
    """The suction line: its friction, or flow, length and size to work it out of."""

    kind: str = "pvc"
    friction_ft: float | None = None
    flow_gpm: float | None = None
    length_ft: float | None = None
    size: str = ""
    bore_in: float | None = None


def lift(
    lift_ft: float,
    altitude_ft: float,
    water_degf: float,
    line: Line,
    vacuum_inhg: float | None = None,
) -> Answer:
    """Tell what is left for the pump, how far from the limit, and the vacuum to expect."""
    lost, assumed = _friction(line)
    where = (lift_ft, lost, altitude_ft, water_degf)
    margin = suction.margin_ft(*where)
    greatest = suction.greatest_lift_ft(altitude_ft, water_degf)
    practical = suction.practical_lift_ft(altitude_ft, water_degf)
    left = suction.npsh_available_ft(*where)
    expected = suction.expected_vacuum_inhg(lift_ft, lost, water_degf)
    figures = [
        figure("npsh-available", "Left for the pump (NPSH available)", left, "ft"),
        figure("greatest-lift", "Lift that no pump exceeds here", greatest, "ft"),
        figure("practical-lift", "What jets lift in practice here", practical, "ft"),
        figure("margin", "To spare under that", margin, "ft"),
        figure("friction", "Friction in the line", lost, "ft"),
    ]
    if expected >= 0.0:
        figures.append(figure("vacuum", "Vacuum to expect while drawing", expected, "inHg"))
    says = [_margin_in_words(margin)]
    if vacuum_inhg is not None:
        more, told = _measured(vacuum_inhg, lift_ft, lost, water_degf)
        figures.append(more)
        says.append(told)
    return Answer(
        tuple(figures),
        "air - vapour - lift - friction; vacuum = (lift + friction) as mercury",
        (STANDARD, STEAM, "practical lift: a published table, trade press, a maker's page"),
        tuple(says),
        (*assumed, "One-pipe jet in good order; two-pipe jets lift from deeper"),
        (RUN_DRY, *((SCALD,) if water_degf >= HOT_DEGF else ()), LOCAL),
    )


def _friction(line: Line) -> tuple[float, tuple[str, ...]]:
    """Return the friction, said or reckoned from the pipe, and what was taken for granted."""
    pipe = line.bore_in if line.bore_in is not None else line.size or None
    flow, length = line.flow_gpm, line.length_ft
    if flow is None and length is None and pipe is None:
        wide = ("No friction, as in a wide clean line: give flow, length and size",)
        return (0.0, wide) if line.friction_ft is None else (line.friction_ft, ())
    if line.friction_ft is not None:
        raise UnfitNumberError("Give the friction, or flow, length and size; not both.")
    if flow is None or length is None or pipe is None:
        raise UnfitNumberError("Friction needs all of flow, length and size (or bore).")
    wide_in = pipe if isinstance(pipe, float) else bore_of(line.kind, pipe)
    rough = roughness_of(line.kind)
    assumed = (f"{line.kind} pipe, C of {rough:g}; fittings and foot valve not counted",)
    return head_lost(flow, length, wide_in, rough), assumed


def _margin_in_words(margin: Between) -> str:
    if margin.low > 0.0:
        return "Within what jets lift in practice, whichever source is right."
    if margin.high < 0.0:
        return "Beyond what jets lift in practice, by every source. Lower the pump or the lift."
    return "At the limit: some sources allow it and some do not. Look for every foot of friction."


def _measured(
    vacuum_inhg: float, lift_ft: float, lost_ft: float, water_degf: float
) -> tuple[Figure, str]:
    left = suction.friction_of_vacuum_ft(vacuum_inhg, lift_ft, water_degf)
    over = figure("over-lift", "Measured vacuum over the lift", left, "ft")
    if left < 0.0:
        return over, (
            "The vacuum is less than the lift alone asks for: air comes in, the pump draws "
            "little, or the water stands higher than thought."
        )
    if left > lost_ft + UNEXPLAINED_FT:
        return over, (
            f"The line takes {rounded(left - lost_ft)} ft more than was reckoned: look for a "
            "blocked strainer, a stuck foot valve, a crushed or scaled pipe."
        )
    return over, "The vacuum fits lift and friction within what such gauges tell."


CALCULATORS = {
    "water-column": Calculator(
        (
            Ask(
                name="amount",
                key="amount",
                about="Height, pressure or vacuum",
                units=("ft", "psi", "inHg"),
            ),
            WATER,
        ),
        column,
        "23ft",
    ),
    "atmosphere": Calculator(
        (
            Ask(
                name="altitude",
                key="altitude_ft",
                about="Height above the sea",
                units=("ft",),
            ),
            WATER,
        ),
        air,
        "5000ft",
    ),
    "vapour": Calculator(
        (Ask(name="water", key="water_degf", about="Heat of the water", units=("degF",)),),
        warm_water,
        "140F",
    ),
    "suction": Calculator(
        (
            Ask(
                name="lift",
                key="lift_ft",
                about="From the water up to the pump; below nothing if it stands higher",
                units=("ft",),
            ),
            ALTITUDE,
            WATER,
            Ask(
                name="friction",
                key="friction_ft",
                about="Friction in the line",
                units=("ft",),
                option=True,
            ),
            Ask(name="flow", key="flow_gpm", about="Flow", units=("gpm",), option=True),
            Ask(name="length", key="length_ft", about="Length", units=("ft",), option=True),
            Ask(name="size", key="size", about="Trade size", word=True, option=True),
            BORE,
            structs.replace(KIND, default=""),
            Ask(
                name="vacuum",
                key="vacuum_inhg",
                about="Vacuum measured at the pump inlet",
                units=("inHg",),
                option=True,
            ),
        ),
        lift,
        "20ft --altitude 5000ft --friction 2ft",
        {"line": Line},
    ),
}
"""The calculators of this subject by name."""
