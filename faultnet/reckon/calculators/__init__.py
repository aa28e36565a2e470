"""The calculators by name, each in the module of its subject and imported when asked for."""

from importlib import import_module
from typing import NamedTuple

from faultnet.reckon.calculator import Calculator


class Entry(NamedTuple):
    """Where a calculator stands, and what it answers."""

    subject: str
    answers: str


SUBJECTS = {
    "lift": "Can the pump lift it?",
    "line": "What does the pipe take, and hold?",
    "tank": "Is the tank right, and does the pump start too often?",
    "leak": "How big is the leak, and can the gauge be believed?",
    "motor": "Motor and wiring",
    "heat": "Is it hot by now?",
    "water": "How much water is left, and how is it disinfected?",
}
"""What the technician wants to know, by the module that answers it."""

CALCULATORS: dict[str, Entry] = {
    "water-column": Entry("lift", "Feet of water to pressure and vacuum, and back."),
    "atmosphere": Entry("lift", "What the air weighs at a height above the sea."),
    "vapour": Entry("lift", "What warm water takes from the suction."),
    "suction": Entry("lift", "How far a lift is from the limit; what the vacuum should be."),
    "friction": Entry("line", "Feet of head lost along a pipe."),
    "prime": Entry("line", "Water to fill the suction line and the pump."),
    "tank": Entry("tank", "Water between stop and start; what a wrong air charge costs."),
    "tank-size": Entry("tank", "The tank that lets the pump run long enough."),
    "flow": Entry("tank", "Flow of the pump from drawdown and seconds."),
    "fill": Entry("tank", "Seconds from start to stop that a sound pump needs."),
    "cycling": Entry("tank", "Starts per hour and run time, against the published limits."),
    "demand": Entry("tank", "The most that the house draws at once."),
    "leak": Entry("leak", "Leak from a pressure fall, whatever is known of the tank."),
    "restarts": Entry("leak", "Leak from the time between starts with no water used."),
    "hold": Entry("leak", "How long to watch the gauge, and the leak it cannot see."),
    "hole": Entry("leak", "What a hole loses."),
    "drip": Entry("leak", "What a drip loses."),
    "gauge": Entry("leak", "How far a sound gauge may be off."),
    "volts": Entry("motor", "Whether a voltage will do, and the torque it leaves."),
    "wire": Entry("motor", "Voltage lost along the wire."),
    "amps": Entry("motor", "Current for sizing wire, and whether the motor is overloaded."),
    "insulation": Entry("motor", "What a megohm reading is called."),
    "dead-head": Entry("heat", "How soon a stalled pump scalds."),
    "cistern": Entry("water", "Gallons in a cistern, and per inch."),
    "left": Entry("water", "Days of water left."),
    "bleach": Entry("water", "Bleach for so much water."),
    "bleach-well": Entry("water", "Bleach for a well."),
}
"""In the order in which they are listed."""


def calculator(name: str) -> Calculator:
    """Return a calculator by name; raise ``KeyError`` for one that does not exist."""
    module = import_module(f"{__name__}.{CALCULATORS[name].subject}")
    found: dict[str, Calculator] = module.CALCULATORS
    return found[name]
