"""What the pipe takes, and what it holds."""

from faultnet.reckon.answer import Answer, figure
from faultnet.reckon.ask import Ask
from faultnet.reckon.calculator import Calculator
from faultnet.reckon.calculators.asks import BORE, KIND
from faultnet.reckon.cautions import LOCAL, SCALD, STORED
from faultnet.reckon.friction import SLOW_FT_S, friction_ft, roughness_of, speed_ft_s, turbulent
from faultnet.reckon.pipe import bore_in as bore_of
from faultnet.reckon.pipe import pipe_gal, priming_gal
from faultnet.reckon.units import UnfitNumberError

BORES = "bores: published table of plastic pipe; steel, PE and copper from memory"
SIZE = Ask(
    name="size",
    key="size",
    about="Trade size of the pipe, such as 1-1/4",
    word=True,
    default="1-1/4",
)
LENGTH = Ask(name="length", key="length_ft", about="Length of the pipe", units=("ft",))


def loss(
    flow_gpm: float,
    length_ft: float,
    size: str,
    kind: str,
    bore_in: float | None = None,
    roughness_c: float | None = None,
) -> Answer:
    """Tell the head lost along a pipe, and how fast the water runs."""
    wide = bore_in if bore_in is not None else bore_of(kind, size)
    rough = roughness_c if roughness_c is not None else roughness_of(kind)
    lost = friction_ft(flow_gpm, length_ft, wide, rough)
    figures = (
        figure("friction", "Lost along the pipe", lost, "ft"),
        figure("per-100-ft", "Lost per 100 ft", friction_ft(flow_gpm, 100.0, wide, rough), "ft"),
        figure("speed", "Speed of the water", speed_ft_s(flow_gpm, wide), "ft/s"),
        figure("bore", "Bore", wide, "in"),
    )
    says = _speed_in_words(flow_gpm, wide)
    assumed = ["Straight pipe: add the equivalent length of fittings and valves"]
    if roughness_c is None:
        assumed.append(f"C of {rough:g}, by the kind; tables of plastic pipe take 150")
    sources = ("Hazen-Williams", BORES, "C: handbooks of pipe flow")
    formula = "10.67 L Q^1.852 / (C^1.852 D^4.8704), SI"
    return Answer(figures, formula, sources, says, tuple(assumed))


def _speed_in_words(flow_gpm: float, bore_in: float) -> tuple[str, ...]:
    if flow_gpm > 0.0 and not turbulent(flow_gpm, bore_in):
        return ("The water runs too slowly for the formula; little is lost at any rate.",)
    if speed_ft_s(flow_gpm, bore_in) < SLOW_FT_S:
        return (f"Below {SLOW_FT_S:g} ft/s the formula may read a fifth low.",)
    return ()


def prime(length_ft: float, size: str, kind: str, bore_in: float | None = None) -> Answer:
    """Tell the water that fills line and pump."""
    wide = bore_in if bore_in is not None else bore_of(kind, size)
    if length_ft == 0.0:
        raise UnfitNumberError("Give the length of the suction line from the valve to the pump.")
    figures = (
        figure("priming", "To fill line and pump", priming_gal(wide, length_ft), "gal"),
        figure("line", "In the line alone", pipe_gal(wide, length_ft), "gal"),
        figure("per-100-ft", "In 100 ft of it", pipe_gal(wide, 100.0), "gal"),
    )
    return Answer(
        figures,
        "bore squared x pi/4 x length, and the pump case",
        (BORES, "0.5 to 1 gal in the case: judgement"),
        (
            "If it takes far more than this, the foot valve stands open or the line leaks.",
            "Have about 5 gal at hand, more for a long line (common practice, no source).",
        ),
        cautions=(STORED, SCALD, LOCAL),
    )


CALCULATORS = {
    "friction": Calculator(
        (
            Ask(name="flow", key="flow_gpm", about="Flow", units=("gpm",)),
            LENGTH,
            SIZE,
            KIND,
            BORE,
            Ask(
                name="roughness",
                key="roughness_c",
                about="C of Hazen and Williams, if it is known",
                option=True,
            ),
        ),
        loss,
        "8gpm 60ft 1-1/4",
    ),
    "prime": Calculator((LENGTH, SIZE, KIND, BORE), prime, "50ft 1-1/4"),
}
"""The calculators of this subject by name."""
