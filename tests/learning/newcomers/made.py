"""Imagined sightings of what stands in no file; all invented."""

import numpy as np

from faultnet.learning.closed import ClosedCase, Confirmation
from faultnet.model.evidence import Answer, Evidence, Round
from faultnet.network.build import UNLISTED

TEXTS = (
    "wire chewed by a rat behind the panel",
    "root grown into the pipe",
    "old valve from the former house",
    "paint on the contacts",
    "wrong pump altogether",
    "pipe crushed by a truck",
)
SNAIL = ("a snail in the jet", "jet blocked by snails", "snail shell sat in the jet")
USUAL = {"no-pressure": 0.3, "no-sound": 0.1, "no-water": 0.4, "gauge-falls": 0.2}
SHOWN = {"no-pressure": 0.9, "no-sound": 0.02, "no-water": 0.5, "gauge-falls": 0.2}


def case(number, cause, text, rates, rng):
    told = [name for name in rates if rng.random() < 0.7]
    answers = [Answer(n, "yes" if rng.random() < rates[n] else "no") for n in told]
    if rng.random() < 0.5:
        answer = rng.choice(["no", "slowly", "quickly"], p=[0.8, 0.15, 0.05])
        answers.append(Answer("prime-falls", str(answer)))
    day = f"{2024 + number % 2}-{number % 12 + 1:02d}-05T08:00:00+00:00"
    evidence = Evidence((Round(tuple(answers)),), {}, {"after-freeze": bool(rng.random() < 0.1)})
    return ClosedCase(
        f"c{number}", "jet-pump", day, day, "mended", evidence, (Confirmation(cause, 0, text),)
    )


def cases(seed, snails=0, others=120, listed=400):
    """Sightings with texts that mean nothing, snails among them, and cases of listed causes."""
    rng = np.random.default_rng(seed)
    found = []
    for _ in range(snails):
        text = SNAIL[rng.integers(len(SNAIL))]
        found.append(case(len(found), UNLISTED, text, SHOWN, rng))
    for _ in range(others):
        text = TEXTS[rng.integers(len(TEXTS))]
        found.append(case(len(found), UNLISTED, text, USUAL, rng))
    for _ in range(listed):
        found.append(case(len(found), "prime-lost", "", USUAL, rng))
    return tuple(found[k] for k in rng.permutation(len(found)))
