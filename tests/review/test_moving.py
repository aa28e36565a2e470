"""The bound on what an answer can move, against every state of small networks."""

import random
from itertools import product
from math import prod, sqrt

import numpy as np
import pytest

from faultnet.advice.observe import said
from faultnet.model.evidence import Answer
from faultnet.model.named_by import NamedBy
from faultnet.review.facts.moving import Moving

TRIAL = """\
causes:
  first: {{title: First, how-common: 0.3, shows: {{hum: {a}, rattle: often}}, repair: mend-line}}
  second: {{title: Second, how-common: 0.2, shows: {{hum: {b}}}, repair: mend-line}}
  third: {{title: Third, how-common: 0.1, shows: {{rattle: often}}, repair: mend-line}}
findings:
  hum: {{title: Hum, ask: Hum?, ask-caller: Hum?, shows-anyway: {leak},
         trust: {{caller: {{hit: {hit}, false-alarm: {alarm}}}}}}}
  rattle: {{title: Rattle, ask: Rattle?, shows-anyway: 0.05}}
"""


def most(subject, finding="hum"):
    named = NamedBy(subject.knowledge)
    return Moving(subject, named).most(subject.knowledge.findings[finding])


def brute_moves(strengths, leak, hit, alarm, priors, others):
    """The most that an answer about hum moves a cause, by any answers about the others."""
    worlds = list(product((0, 1), repeat=len(priors)))
    weight = {w: prod(p if x else 1 - p for x, p in zip(w, priors, strict=True)) for w in worlds}
    most = 0.0
    for told in product((None, 0, 1), repeat=len(others)):
        likely = {w: weight[w] for w in worlds}
        for answer, (links, base) in zip(told, others, strict=True):
            for w in worlds if answer is not None else ():
                no = (1 - base) * prod(1 - s for x, s in zip(w, links, strict=True) if x)
                likely[w] *= no if answer == 0 else 1 - no
        for heard in (0, 1):
            after = {}
            for w in worlds:
                no = (1 - leak) * prod(1 - s for x, s in zip(w, strengths, strict=True) if x)
                yes = alarm * no + hit * (1 - no)
                after[w] = likely[w] * (yes if heard else 1 - yes)
            for k in range(len(priors)):
                most = max(most, abs(share(after, k) - share(likely, k)))
    return most


def share(weights, cause):
    return sum(x for w, x in weights.items() if w[cause]) / sum(weights.values())


@pytest.mark.parametrize("seed", range(6))
def test_nothing_moves_more_than_the_bound(trial, seed):
    rng = random.Random(seed)
    a, b, leak = rng.uniform(0, 0.6), rng.uniform(0, 0.6), rng.uniform(0.02, 0.5)
    hit, alarm = rng.uniform(0.6, 1.0), rng.uniform(0.0, 0.4)
    text = TRIAL.format(a=round(a, 3), b=round(b, 3), leak=round(leak, 3), hit=hit, alarm=alarm)
    subject = trial(text)
    bound = most(subject)
    for priors in ((0.3, 0.2, 0.1), (0.5, 0.5, 0.5), (0.9, 0.05, 0.6)):
        others = [((0.65, 0.0, 0.65), 0.05)]
        moved = brute_moves(
            (round(a, 3), round(b, 3), 0.0), round(leak, 3), hit, alarm, priors, others
        )
        assert moved <= bound + 1e-12
    assert bound < 1.0


def test_the_bound_is_reached(trial):
    """One cause, likely enough that an answer moves it most: the bound is what it is moved by."""
    subject = trial(
        "causes:\n  one: {title: One, how-common: 0.3, shows: {hum: 0.4}, repair: mend-line}\n"
        "findings:\n  hum: {title: Hum, ask: Hum?, ask-caller: Hum?, shows-anyway: 0.2,"
        " trust: {caller: {hit: 0.9, false-alarm: 0.1}}}\n"
    )
    low, high = 0.1 + 0.8 * 0.2, 0.1 + 0.8 * (1 - 0.8 * 0.6)
    ratio = high / low
    bound = most(subject)
    assert bound == pytest.approx((sqrt(ratio) - 1) / (sqrt(ratio) + 1), rel=1e-12)
    found = max(p * high / (p * high + (1 - p) * low) - p for p in np.linspace(0.001, 0.999, 999))
    assert found == pytest.approx(bound, abs=1e-5)


def test_graded_answers_stay_within_the_range(trial):
    """Each grade is heard as often as some mixture of causes makes it, never beyond the ends."""
    subject = trial(
        "causes:\n"
        "  one: {title: One, how-common: 0.3, shows: {drip: {little: 0.3, much: 0.1}},"
        " repair: mend-line}\n"
        "  two: {title: Two, how-common: 0.3, shows: {drip: {little: 0.05, much: 0.2}},"
        " repair: mend-line}\n"
        "findings:\n  drip: {title: Drip, ask: Drip?, answers: [no, little, much],"
        " shows-anyway: {little: 0.3, much: 0.2}}\n"
        "checks:\n  see: {title: See, minutes: 1, who: technician, reveals: [drip]}\n"
    )
    finding = subject.knowledge.findings["drip"]
    bound = most(subject, "drip")
    ratio = 1.0
    for answer in finding.answers:
        heard = said(subject, Answer("drip", answer))
        chances = [
            sum(h * p for h, p in zip(heard, levels(there), strict=True))
            for there in product((0, 1), repeat=2)
        ]
        ratio = max(ratio, max(chances) / min(chances))
    assert (sqrt(ratio) - 1) / (sqrt(ratio) + 1) <= bound < 1.0


def levels(there):
    sources = [(0.3, 0.2), *(s for x, s in zip(there, [(0.3, 0.1), (0.05, 0.2)], strict=True) if x)]
    at_most = [prod(1 - sum(s[k:]) for s in sources) for k in (0, 1)] + [1.0]
    return [at_most[0], at_most[1] - at_most[0], 1 - at_most[1]]


@pytest.mark.parametrize(
    "more",
    [
        "hidden-by: [motor-silent]",
        "needs: [motor-silent]",
    ],
)
def test_nothing_is_proved_of_what_is_hidden_or_withheld(trial, more):
    subject = trial(
        "causes:\n  one: {title: One, how-common: 0.3, shows: {hum: 0.01}, repair: mend-line}\n"
        f"findings:\n  hum: {{title: Hum, ask: Hum?, shows-anyway: 0.5, {more}}}\n"
    )
    assert most(subject) == 1.0


def test_nothing_is_proved_of_what_others_hang_on(trial):
    subject = trial(
        "causes:\n  one: {title: One, how-common: 0.3, shows: {hum: 0.01}, repair: mend-line}\n"
        "findings:\n  hum: {title: Hum, ask: Hum?, shows-anyway: 0.5}\n"
        "  din: {title: Din, ask: Din?, shows-anyway: 0.01, follows-from: {hum: often}}\n"
    )
    assert most(subject) == 1.0


def test_a_cause_brought_along_counts_as_often_as_it_can_be_there(trial):
    text = (
        "causes:\n  one: {title: One, how-common: 0.3, shows: {hum: 0.1}, repair: mend-line}\n"
        "  two: {title: Two, how-common: 0.3, repair: mend-line%s}\n"
        "findings:\n  hum: {title: Hum, ask: Hum?, shows-anyway: 0.5}\n"
    )
    moves = []
    for more in ("", ", leads-to: {one: often}"):
        subject = trial(text % more)
        moves.append(most(subject))
    ratios = [0.55 / 0.5, 0.5 / 0.45, 0.595 / 0.5, 0.5 / 0.405]
    expected = [max(ratios[:2]), max(ratios[2:])]
    assert moves == pytest.approx([(sqrt(r) - 1) / (sqrt(r) + 1) for r in expected], rel=1e-12)


def test_a_reading_is_sure(trial):
    text = (
        "causes:\n  one: {title: One, how-common: 0.3, shows: {hum: 0.4}, repair: mend-line}\n"
        "findings:\n  hum: {title: Hum, ask: Hum?, ask-caller: Hum?, shows-anyway: 0.2,"
        " trust: {caller: {hit: 0.5, false-alarm: 0.5}}}\n"
    )
    reading = (
        "readings:\n  gauge: {title: Gauge, finding: hum, takes: {start: psi, end: psi},"
        " value: fall, accuracy: 1, answers: {no: {under: 2}, yes: {over: 2}},"
        " possible: {start: [0, 60], end: [0, 60]}}\n"
    )
    moves = []
    for each in (text, text + reading):
        subject = trial(each)
        moves.append(most(subject))
    assert moves[0] == 0.0
    sure = max(0.52 / 0.2, 0.8 / 0.48)
    assert moves[1] == pytest.approx((sqrt(sure) - 1) / (sqrt(sure) + 1), rel=1e-12)
