"""Looking further ahead than one step, for as long as there is time."""

from contextlib import suppress

from faultnet.advice.outlooks import Look, Outlooks
from faultnet.advice.small import problem_of
from faultnet.advice.standing import Standing, label
from faultnet.planning.belief import start
from faultnet.planning.plan import Plan
from faultnet.planning.planner import Deeper, Exact, OneStep, Planner, TooLargeError

POSITIONS = 5_000
"""Positions that an exact plan of a small trouble may take; beyond, it is searched in time."""


def look_ahead(outlooks: Outlooks, seconds: float, positions: int = 0) -> Plan:
    """Return the best plan of all where the trouble is small, else the best found in time.

    It is never worse than one step ahead; with no time at all it is just that. Where
    ``positions`` are given so many are looked at instead, and the same comes on any machine.
    """
    situation = outlooks.situation
    problem = problem_of(situation) if seconds > 0.0 or positions else None
    if problem is not None:
        with suppress(TooLargeError):
            return Exact(POSITIONS).plan(start(problem))
    base = outlooks.base
    share = outlooks.floor / base.cost if base.cost > 0.0 else 0.0
    here = Standing(
        situation, situation.evidence, base, min(share, 1.0), situation.roots, known=outlooks
    )
    planner: Planner = Deeper(seconds=seconds) if seconds > 0.0 else OneStep()
    if positions:
        planner = Deeper(positions)
    return planner.plan(here)


def follow_up(look: Look, plan: Plan) -> list[float]:
    """Return the minutes expected after each answer of the look that a plan begins with."""
    then = {branch.answer: branch.then for branch in plan.first.branches}
    costs = []
    for answers, follow in zip(look.answers, look.follow, strict=True):
        move = then.get(label(answers))
        costs.append(follow.cost if move is None else min(follow.cost, move.expected))
    return costs
