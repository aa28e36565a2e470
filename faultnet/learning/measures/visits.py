"""What cases came to: trips, call-backs, and what it took to find the cause."""

from faultnet.learning.closed import ClosedCase, StepTaken
from faultnet.learning.measures.figures import Mean, Share, Summed, mean, share

MENDED = ("mended", "mended-proof-open")
"""Endings of a case whose trouble is over because something was mended."""


class Visits(Summed, frozen=True):
    """Sums over closed cases.

    ``by_phone`` is how many needed nobody to drive there; ``first_visit`` how many of the others
    were mended in one trip and not come back to, as far as is known; ``followed`` how many were
    come back to. Steps and minutes to the cause are those before the repair that showed it.
    """

    cases: int = 0
    by_phone: Share = Share()
    first_visit: Share = Share()
    trips: Mean = Mean()
    followed: int = 0
    steps_to_cause: Mean = Mean()
    minutes_to_cause: Mean = Mean()


def visited(case: ClosedCase) -> Visits:
    """Return what a case came to."""
    steps, minutes = _to_cause(case)
    came_back = bool(case.followed_by)
    mended = case.trips == 1 and case.ending in MENDED and not came_back
    return Visits(
        1,
        share(case.by_phone),
        Share() if case.by_phone else share(mended),
        Mean() if case.by_phone else mean(float(case.trips)),
        int(came_back),
        steps,
        minutes,
    )


def _to_cause(case: ClosedCase) -> tuple[Mean, Mean]:
    """Steps to the first confirmed cause, and their minutes where all were noted."""
    if not case.confirmed or not case.steps:
        return Mean(), Mean()
    last = min(each.round for each in case.confirmed)
    steps = [each for each in case.steps if _before(each, last)]
    times = [each.minutes for each in steps if each.minutes is not None]
    whole = mean(sum(times)) if steps and len(times) == len(steps) else Mean()
    return mean(float(len(steps))), whole


def _before(taken: StepTaken, last: int) -> bool:
    """Whether a step came before the repair that showed the cause at the end of a round."""
    return taken.round < last or (taken.round == last and taken.kind == "check")


def minutes_of_visit(case: ClosedCase) -> float | None:
    """Return the minutes of all steps of a case that was mended, where all were noted."""
    times = [each.minutes for each in case.steps if each.minutes is not None]
    whole = bool(times) and len(times) == len(case.steps)
    return sum(times) if whole and case.ending in MENDED else None
