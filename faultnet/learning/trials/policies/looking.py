"""Checks by a plain rule, and a repair once a cause is sure enough."""

import numpy as np
import numpy.typing as npt

from faultnet.advice.candidates import Candidate
from faultnet.advice.screen import Screen
from faultnet.learning.trials.policies.habit import Habit, Plain
from faultnet.learning.trials.policy import At, Chosen

SURE = 0.5
"""Chance of a cause from which it is mended without another look (judgement)."""
LEAST = 1e-4
"""Nats for each minute below which a check tells nothing."""

Array = npt.NDArray[np.float64]


class CheapestFirst(Plain, frozen=True):
    """Does the cheapest check that is left; mends once a cause is sure enough."""

    def next(self, at: At) -> Chosen | None:
        """Return the cheapest check."""
        habit = Habit(at)
        if at.who == "caller":
            return habit.by_phone()
        if max(habit.chances.values(), default=0.0) >= SURE or not habit.open:
            return habit.most_probable()
        best = min(habit.open, key=lambda c: (habit.price(c), c.check.id))
        return Chosen("check", best.check.id)


class MostTelling(Plain, frozen=True):
    """Does the check that tells most for each minute; mends once a cause is sure enough.

    What a check tells is the mutual information of its answers and the cause, in nats, causes
    taken as one or another by their chances, answers as independent given each: the quick look
    that chooses what the planner examines.
    """

    def next(self, at: At) -> Chosen | None:
        """Return the check with the greatest gain of information for each minute."""
        habit = Habit(at)
        if at.who == "caller":
            return habit.by_phone()
        if max(habit.chances.values(), default=0.0) >= SURE:
            return habit.most_probable()
        chances = np.array([habit.beliefs.causes[c.id] for c in at.subject.network.causes])
        screen = Screen(at.subject, chances, {}, at.subject.system.specialist.minutes.value)
        gains = {c.check.id: _rate(habit, screen, c) for c in habit.open}
        best = max(gains, key=lambda check: (gains[check], check), default="")
        if not best or gains[best] < LEAST:
            return habit.most_probable()
        return Chosen("check", best)


def _rate(habit: Habit, screen: Screen, candidate: Candidate) -> float:
    chances = screen.chances / max(float(screen.chances.sum()), 1e-300)
    return gain(chances, screen.likelihoods(candidate)) / max(habit.price(candidate), 1e-9)


def gain(chances: Array, likelihoods: Array) -> float:
    """Return the mutual information in nats of causes and the answers of a check.

    ``likelihoods`` is P(answer | cause), by answer and cause; ``chances`` sum to one.
    """
    joint = likelihoods * chances
    answers = joint.sum(axis=1, keepdims=True)
    both = np.outer(answers, chances)
    there = (joint > 0.0) & (both > 0.0)
    return float((joint[there] * np.log(joint[there] / both[there])).sum())
