"""Looking further ahead than one step, for as long as there is time."""

from faultnet.advice.outlooks import Look, Outlooks
from faultnet.advice.standing import Standing, label
from faultnet.planning.plan import Plan
from faultnet.planning.planner import Deeper


def look_ahead(outlooks: Outlooks, seconds: float) -> Plan:
    """Return the best plan that a search of some seconds finds; never worse than one step."""
    situation = outlooks.situation
    base = outlooks.base
    share = outlooks.floor / base.cost if base.cost > 0.0 else 0.0
    start = Standing(
        situation, situation.evidence, base, min(share, 1.0), situation.roots, known=outlooks
    )
    return Deeper(seconds=seconds).plan(start)


def follow_up(look: Look, plan: Plan) -> list[float]:
    """Return the minutes expected after each answer of the look that a plan begins with."""
    then = {branch.answer: branch.then for branch in plan.first.branches}
    costs = []
    for answers, follow in zip(look.answers, look.follow, strict=True):
        move = then.get(label(answers))
        costs.append(follow.cost if move is None else min(follow.cost, move.expected))
    return costs
