"""`show`: the turn that is due, or what is looked at."""

from collections.abc import Callable
from math import ceil
from typing import TypeVar

from faultnet.advice.dangers import dangers_met
from faultnet.cases.entry import Entry
from faultnet.inference.engine import TooLargeError
from faultnet.pocket.talk.carried import Carried, Held, OfCase, site_in
from faultnet.pocket.talk.pad import pad_of
from faultnet.pocket.talk.shown import (
    DangerShown,
    RankingShown,
    Shown,
    StepShown,
    ranking_shown,
    step_shown,
    turn_shown,
)
from faultnet.visit.glance import Glance, turn_at
from faultnet.visit.own_view import hidden
from faultnet.visit.steps import best
from faultnet.visit.taken_up import joined
from faultnet.visit.trouble import ConflictError
from faultnet.visit.turn import Turn
from faultnet.visit.visit import Visit

T = TypeVar("T")

PRICED = ("step", "why")
"""Turns that a step is shown with."""
RANKED = (*PRICED, "seen")
"""Turns that stand on a ranking; with any other nobody waits for one."""
CAUSES = 8
"""Causes shown."""


class ShowAsked(OfCase, frozen=True):
    """A case, and what is looked at: a view, or typed text; with neither the turn that is due."""

    view: str = ""
    what: str = ""
    text: str = ""

    @property
    def glance(self) -> Glance:
        """What is looked at."""
        return Glance(self.view, self.what, self.text)


def show(carried: Carried, asked: ShowAsked) -> Shown:
    """Show the turn that is due, the view, or what typed text led to."""
    held = carried.held(asked)
    visit, turn = held.seen, turn_at(held.seen, asked.glance)
    case, site = visit.at.case, site_in(asked.site_entries)
    step, ranking = beside(visit, turn)
    return Shown(
        case=case.id,
        system=case.system,
        title=visit.talk.subject.system.title,
        site=site.name if site else "",
        over=visit.over,
        last=held.kept.entries[-1].id,
        turn=turn_shown(turn),
        pad=pad_of(visit, turn),
        left=max(0, ceil(turn.until - carried.clock())) if turn.until else None,
        until=turn.until or None,
        dangers=_dangers(visit),
        step=step,
        ranking=ranking,
        note=_note(held) if asked.glance == Glance() else None,
        unfit=case.unfit,
        missing=case.missing,
        conflicts=len(case.conflicts),
        unread=held.log.unread,
    )


def beside(visit: Visit, turn: Turn) -> tuple[StepShown | None, RankingShown | None]:
    """Return the step and the ranking that stand beside a turn."""
    return _step(visit, turn), _ranking(visit, turn)


def _dangers(visit: Visit) -> tuple[DangerShown, ...]:
    met = dangers_met(visit.talk.subject, visit.at.evidence)
    return tuple(DangerShown(d.finding, d.say, d.send) for d in met if not d.made_safe)


def _step(visit: Visit, turn: Turn) -> StepShown | None:
    if turn.kind not in PRICED:
        return None
    return _reckoned(lambda: step_shown(best(visit.talk, visit.at)[0]))


def _ranking(visit: Visit, turn: Turn) -> RankingShown | None:
    if turn.kind not in RANKED or hidden(visit.at):
        return None
    counsel = visit.talk.counsel
    return _reckoned(lambda: ranking_shown(counsel.ranking(visit.at.evidence), CAUSES))


def _note(held: Held) -> Entry | None:
    """What is worth noting of the turn that is due, once whoever looks has taken the case up."""
    visit = held.kept
    if joined(visit, "technician") is not None or visit.to_note is None:
        return None
    return visit.after(visit.to_note).entries[-1]


def _reckoned(make: Callable[[], T]) -> T | None:
    """Return what was reckoned; nothing where the turn itself tells what is in the way."""
    try:
        return make()
    except (ConflictError, TooLargeError):
        return None
