"""Motor and wiring."""

from faultnet.reckon import motor, voltage
from faultnet.reckon.answer import Answer, figure
from faultnet.reckon.ask import Ask
from faultnet.reckon.calculator import Calculator
from faultnet.reckon.cautions import INSULATION, LOCAL, MAINS
from faultnet.reckon.insulation import insulation_band, least_insulation_mohm
from faultnet.reckon.units import UnfitNumberError

PLATE = Ask(name="plate", key="plate_v", about="Volts on the motor's plate", units=("V",))
USUAL_DROP = 5.0
"""Per cent of the voltage that may be lost in all (advice in the electrical code, from memory)."""


def volts(measured_v: float, plate_v: float) -> Answer:
    """Tell whether a voltage will do."""
    window = voltage.voltage_window_v(plate_v)
    torque = voltage.torque_share(measured_v, plate_v)
    says = (
        "Within 10 % of the plate."
        if _within(measured_v, window.low, window.high)
        else ("Outside 10 % of the plate: find out why before the motor runs on.")
    )
    return Answer(
        (
            figure("window", "Allowed while running", window, "V"),
            figure("torque", "Torque left", 100.0 * torque, "%"),
        ),
        "plate +-10 %; torque as the square of the voltage",
        ("NEMA MG 1, clause 9.9 of the condensed edition",),
        (says, "It is a running figure: at the moment of starting the voltage dips."),
        ("Measured at the motor, running, at rated frequency",),
        (MAINS, LOCAL),
    )


def _within(value: float, low: float, high: float) -> bool:
    return low - 1e-9 <= value <= high + 1e-9


def wire(
    current_a: float, length_ft: float, awg: float, plate_v: float, wire_degf: float
) -> Answer:
    """Tell what a copper wire takes."""
    lost = voltage.drop_v(current_a, length_ft, awg, wire_degf)
    percent = 100.0 * lost / plate_v
    if percent >= 100.0:
        raise UnfitNumberError("Such a wire cannot carry that current at all. Look at the figures.")
    says = [
        "A motor that starts draws several times its running current, and loses as much more.",
    ]
    if percent > USUAL_DROP:
        says.insert(0, f"More than the {USUAL_DROP:g} % that is commonly allowed in all.")
    return Answer(
        (
            figure("drop", "Voltage lost, there and back", lost, "V"),
            figure("drop-percent", "Of the supply", percent, "%"),
        ),
        "current x 2 x resistance of one way",
        (
            "ASTM B258 (widths) and IACS copper, from memory",
            f"{USUAL_DROP:g} % in all: advice in the electrical code, from memory",
        ),
        tuple(says),
        ("Solid copper; length is one way; a warm wire takes up to a fifth more",),
        (MAINS, LOCAL),
    )


def amps(
    power_hp: float,
    supply_v: float,
    plate_a: float | None = None,
    measured_a: float | None = None,
    service_factor: float = 1.0,
) -> Answer:
    """Tell the current to size wire by, and judge a measured one by the plate."""
    figures = [
        figure("full-load", "Table, full load", motor.full_load_a(power_hp, supply_v), "A"),
        figure("wire", "Wire to carry at least", motor.wire_a(power_hp, supply_v), "A"),
    ]
    says = ["The table sizes wire and protection and judges no motor. The plate decides."]
    if measured_a is not None:
        if plate_a is None:
            raise UnfitNumberError("A measured current is judged by the plate: give --plate.")
        share = motor.load_share(measured_a, plate_a, service_factor)
        figures.append(figure("load", "Of what the plate allows", 100.0 * share, "%"))
        says.insert(0, _load_in_words(share))
    return Answer(
        tuple(figures),
        "table by hp and volts; wire x 1.25; measured / (plate x service factor)",
        ("National Electrical Code, Table 430.248", "1.25: the same code, from memory"),
        tuple(says),
        cautions=(MAINS, LOCAL),
    )


def _load_in_words(share: float) -> str:
    if share > 1.0:
        return "Overloaded by its plate: low voltage, a dragging rotor or the wrong pump. Stop it."
    return "Not overloaded by its plate."


def insulation(resistance_mohm: float, supply_v: float) -> Answer:
    """Tell what a megohm reading is called."""
    band = insulation_band(resistance_mohm)
    least = least_insulation_mohm(supply_v)
    enough = "meets" if resistance_mohm >= least else "is below"
    return Answer(
        (
            figure("resistance", "Read", resistance_mohm, "Mohm"),
            figure("least", "Rule of thumb, at least", least, "Mohm"),
        ),
        "1 Mohm and 1 per kV",
        ("rule of thumb", "a maker's sheet for well motors, name withheld; `poor` is judgement"),
        (
            f"{band[0].upper()}{band[1:]}.",
            f"It {enough} the rule of thumb.",
            "Other pages set the bands otherwise; the same motor over the years tells most.",
        ),
        ("Read at 500 V DC, leads off; a warm or damp motor reads lower",),
        (INSULATION, MAINS, LOCAL),
    )


CALCULATORS = {
    "volts": Calculator(
        (
            Ask(name="measured", key="measured_v", about="Volts measured", units=("V",)),
            PLATE,
        ),
        volts,
        "104V 115V",
    ),
    "wire": Calculator(
        (
            Ask(name="current", key="current_a", about="Running current", units=("A",)),
            Ask(name="length", key="length_ft", about="Length, one way", units=("ft",)),
            Ask(name="awg", key="awg", about="Wire size, AWG"),
            Ask(
                name="supply",
                key="plate_v",
                about="Supply",
                units=("V",),
                default="230V",
            ),
            Ask(
                name="wire-heat",
                key="wire_degf",
                about="Heat of the wire",
                units=("degF",),
                default="68degF",
                option=True,
            ),
        ),
        wire,
        "9.8A 100ft 14 115V",
    ),
    "amps": Calculator(
        (
            Ask(name="power", key="power_hp", about="Power of the motor", units=("hp",)),
            Ask(name="supply", key="supply_v", about="Supply", units=("V",), default="230V"),
            Ask(name="plate", key="plate_a", about="Amps on the plate", units=("A",), option=True),
            Ask(
                name="measured", key="measured_a", about="Amps measured", units=("A",), option=True
            ),
            Ask(
                name="sf",
                key="service_factor",
                about="Service factor on the plate",
                default="1",
                option=True,
            ),
        ),
        amps,
        "1/2hp 115V --plate 9A --measured 8.1A",
    ),
    "insulation": Calculator(
        (
            Ask(
                name="reading",
                key="resistance_mohm",
                about="Resistance to ground",
                units=("Mohm",),
            ),
            Ask(
                name="supply",
                key="supply_v",
                about="Supply",
                units=("V",),
                default="230V",
                option=True,
            ),
        ),
        insulation,
        "1.2Mohm",
    ),
}
"""The calculators of this subject by name."""
