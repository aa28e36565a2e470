"""What came of a call, as a closed case that can be learnt from and measured on."""

from datetime import UTC, datetime, timedelta
from math import exp

from faultnet.advice.subject import Subject
from faultnet.learning.closed import ClosedCase, Confirmation, StepTaken
from faultnet.learning.trials.dice import Dice
from faultnet.learning.trials.outcome import Outcome
from faultnet.model.stock import serving
from faultnet.network.build import UNLISTED

FIRST = datetime(2025, 1, 6, 7, tzinfo=UTC)
BETWEEN = timedelta(hours=4)
"""When the first call comes in, and how long after each the next; all of it is made up."""
SPREAD = 0.3
"""Deviation of the logarithm of a step's minutes around what is written (judgement)."""


def as_closed(outcome: Outcome, thinks: Subject, truth: Subject, seed: int) -> ClosedCase:
    """Return a closed case: what was mended is confirmed, and what the specialist then found.

    A cause that the files of ``thinks`` do not hold is confirmed as one that is not in them.
    Minutes are log-normal around what the step took; their mean is that.
    """
    dice = Dice(seed, outcome.number)
    opened = FIRST + BETWEEN * outcome.number
    number = len(outcome.evidence.rounds) - 1
    seen = [(cause, step.round) for step in outcome.steps for cause in step.mended]
    seen += [(cause, number) for cause in outcome.left] if outcome.specialist else []
    steps = [
        StepTaken(step.id, step.kind, step.round, _minutes(step.minutes, dice, k))
        for k, step in enumerate(outcome.steps)
    ]
    return ClosedCase(
        f"trial-{seed}-{outcome.number}-{outcome.policy}",
        thinks.system.id,
        opened.isoformat(),
        (opened + timedelta(minutes=sum(s.minutes or 0.0 for s in steps))).isoformat(),
        "referred" if outcome.specialist else "mended",
        outcome.evidence,
        tuple(_confirmed(cause, round_, thinks, truth) for cause, round_ in seen),
        tuple(steps),
        outcome.trips,
        _fitted(outcome, truth),
        knowledge=thinks.knowledge.version,
    )


def _confirmed(cause: str, number: int, thinks: Subject, truth: Subject) -> Confirmation:
    if cause in thinks.causes and cause != UNLISTED:
        return Confirmation(cause, number)
    return Confirmation(UNLISTED, number, truth.title(cause))


def _minutes(expected: float, dice: Dice, step: int) -> float:
    rng = dice.generator("minutes", step)
    return expected * exp(SPREAD * float(rng.standard_normal()) - SPREAD**2 / 2.0)


def _fitted(outcome: Outcome, truth: Subject) -> tuple[str, ...]:
    """The items of the stock that the parts of the repairs are."""
    repairs = truth.knowledge.repairs
    done = [repairs[s.id] for s in outcome.steps if s.kind == "repair" and s.id in repairs]
    parts = {part for repair in done for part in repair.parts}
    return serving(truth.knowledge.stock, parts)
