"""`rank` and `next` in the pocket are what the commands say."""

import random

import pytest

from faultnet.advice.subject import make_subject
from faultnet.pocket.talk.answering import Talking
from tests.cli.conftest import _own_places, faultnet
from tests.pocket.walker import Asking

__all__ = ["_own_places", "faultnet"]

SYSTEMS = ("cistern-booster", "jet-pump-cistern", "jet-pump-shallow-well")


def drawn(subject, dice):
    """Return random evidence, and the options of the commands that say the same."""
    known = subject.knowledge
    names = dice.sample([f for f in subject.findings if not known.findings[f].found_cause], 3)
    said = [(name, dice.choice(known.findings[name].answers)) for name in names]
    layout = {
        name: dice.choice([v for v, n in values.items() if n.value > 0.0])
        for name, values in subject.system.layout.items()
    }
    circumstance = dice.choice(list(subject.system.circumstances))
    options = [f"--finding={name}={answer}" for name, answer in said]
    options += [f"--finding={circumstance}=yes"]
    options += [f"--layout={name}={value}" for name, value in layout.items()]
    answers = [{"finding": f, "answer": a, "speaker": "technician"} for f, a in said]
    return {
        "answers": answers,
        "layout": layout,
        "circumstances": {circumstance: True},
    }, options


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_pocket_says_what_the_commands_say(shipped, faultnet, system):
    dice, ask = random.Random(system), Asking(Talking(shipped))
    evidence, options = drawn(make_subject(shipped, system), dice)
    for name in ("rank", "next"):
        told = faultnet(name, system, *options, "--json").json
        assert ask(name, system=system, evidence=evidence) == told


def test_rounds_and_readings_are_taken_as_well(shipped, faultnet):
    evidence = {
        "answers": [{"finding": "gauge-falls-isolated", "answer": "no"}],
        "measured": [{"reading": "hold", "part": p, "value": v} for p, v in HOLD.items()],
        "before": [
            {
                "answers": [{"finding": "gauge-falls-isolated", "answer": "yes"}],
                "repairs": ["clean-foot-valve"],
            }
        ],
    }
    options = ["-f", "1:gauge-falls-isolated=yes", "--mended", "1:clean-foot-valve"]
    options += ["-f", "gauge-falls-isolated=no"]
    options += [f"-mhold.{part}={value}" for part, value in HOLD.items()]
    told = faultnet("rank", "jet-pump-cistern", *options, "--json").json
    ask = Asking(Talking(shipped))
    assert ask("rank", system="jet-pump-cistern", evidence=evidence) == told


HOLD = {"start": "50psi", "end": "49psi", "minutes": "15min"}
