"""Repairs and no checks: the most probable first, or the most probable for its minutes."""

from faultnet.learning.trials.policies.habit import Habit, Plain
from faultnet.learning.trials.policy import At, Chosen


class MostProbable(Plain, frozen=True):
    """Mends the most probable cause, then what is most probable after that."""

    def next(self, at: At) -> Chosen | None:
        """Return the repair of the most probable cause."""
        habit = Habit(at)
        return habit.by_phone() if at.who == "caller" else habit.most_probable()


class PerMinute(Plain, frozen=True):
    """Mends by probability over cost.

    The best order of independent repairs where one fault is at work: Simon & Kadane 1975,
    Artificial Intelligence 6.
    """

    def next(self, at: At) -> Chosen | None:
        """Return the repair that likeliest mends for each of its minutes."""
        habit = Habit(at)
        return habit.by_phone() if at.who == "caller" else habit.best_per_minute()
