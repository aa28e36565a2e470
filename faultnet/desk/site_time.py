"""How long a visit takes on site: from the ways through the plan of whoever drives."""

from collections.abc import Iterable

import msgspec

from faultnet.advice.reached import ways
from faultnet.advice.standing import SPECIALIST
from faultnet.advice.subject import Subject
from faultnet.model.check import Work
from faultnet.planning.plan import Plan

ON_SITE = 60.0
"""Minutes of waiting for which somebody stays; for longer ones they come again (judgement)."""

HALF, MOST = 0.5, 0.9
"""The shares of visits that are over by the usual and by the long time."""


class SiteTime(msgspec.Struct, frozen=True):
    """Minutes on site: half of the visits are over by ``usual``, nine in ten by ``long``.

    ``first`` is the check or repair that the visit begins with. Handing over to the
    specialist ends the visit; the specialist's own work is not in it.
    """

    usual: float
    long: float
    mean: float
    first: str


def site_time(subject: Subject, plan: Plan) -> SiteTime:
    """Return the minutes on site of whoever follows a plan, waiting counted in full.

    Chances and prices are those of the plan, which looks one check ahead.
    """
    found = [
        (_minutes(subject, steps, minutes), chance) for steps, chance, minutes in ways(plan.first)
    ]
    total = sum(chance for _, chance in found) or 1.0
    mean = sum(minutes * chance for minutes, chance in found) / total
    first = plan.first.step
    name = SPECIALIST if first.kind == "fall-back" else first.id
    return SiteTime(_by(found, HALF * total), _by(found, MOST * total), mean, name)


def _by(found: Iterable[tuple[float, float]], share: float) -> float:
    """The minutes by which a share of the visits is over."""
    passed = 0.0
    minutes = 0.0
    for minutes, chance in sorted(found):
        passed += chance
        if passed >= share - 1e-9:
            return minutes
    return minutes


def _minutes(subject: Subject, steps: tuple[str, ...], price: float) -> float:
    """What a way takes by the clock; its price counts waiting by a share only."""
    share = subject.knowledge.rates.waiting_share.value
    if steps and steps[-1] == SPECIALIST:
        price -= subject.system.specialist.minutes.value
    waits = [_work(subject, step).waiting.value for step in steps if step != SPECIALIST]
    stays = sum(wait for wait in waits if wait <= ON_SITE)
    return max(0.0, price - share * sum(waits) + stays)


def _work(subject: Subject, step: str) -> Work:
    known = subject.knowledge
    return (known.checks.get(step) or known.repairs[step]).work
