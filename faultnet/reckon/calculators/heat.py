"""Is it hot by now."""

from faultnet.reckon import dead_head
from faultnet.reckon.answer import Answer, figure
from faultnet.reckon.ask import Ask
from faultnet.reckon.calculator import Calculator
from faultnet.reckon.cautions import LOCAL, SCALD


def stalled(power_hp: float, water_gal: float, from_degf: float) -> Answer:
    """Tell how soon a stalled pump is hot."""

    def soonest(hot: float) -> float:
        return dead_head.minutes_to(hot, power_hp, water_gal, from_degf)

    rise = dead_head.rise_degf_per_minute(power_hp, water_gal)
    return Answer(
        (
            figure("hurts", "Soonest 120 degF, where it begins to burn", soonest(120.0), "min"),
            figure("scalds", "Soonest 140 degF, burns in seconds", soonest(140.0), "min"),
            figure("boils", "Soonest boiling, 212 degF", soonest(212.0), "min"),
            figure("rise", "Warms each minute, degF", rise),
        ),
        "power of the shaft / (water x specific heat)",
        ("energy balance; burn temperatures from memory",),
        (
            "Pressure keeps it from boiling, so it gets hotter than 212 degF.",
            "Heat softens plastic pipe; a soft suction line bursts.",
        ),
        ("All the power goes into the water: the soonest, not the likeliest",),
        (SCALD, LOCAL),
    )


CALCULATORS = {
    "dead-head": Calculator(
        (
            Ask(name="power", key="power_hp", about="Power of the motor", units=("hp",)),
            Ask(
                name="water",
                key="water_gal",
                about="Water in the pump",
                units=("gal",),
                default="0.5gal",
            ),
            Ask(
                name="from",
                key="from_degf",
                about="Heat of the water at first",
                units=("degF",),
                default="60degF",
                option=True,
            ),
        ),
        stalled,
        "1/2hp",
    ),
}
"""The calculators of this subject by name."""
