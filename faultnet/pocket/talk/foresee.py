"""`foresee`: what is to be thought about next is worked out while nobody waits."""

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from heapq import heappop, heappush
from itertools import count, islice
from typing import Never

import msgspec

from faultnet.advice.grounds import grounds
from faultnet.advice.step import Outcome
from faultnet.inference.engine import TooLargeError
from faultnet.pocket.talk.carried import MOST_WORK, Carried, OfCase
from faultnet.pocket.talk.likely import shares
from faultnet.pocket.talk.show import beside
from faultnet.visit.counsel import Counsel
from faultnet.visit.steps import best
from faultnet.visit.talk import Talk
from faultnet.visit.trouble import ConflictError
from faultnet.visit.turn import Turn
from faultnet.visit.visit import Visit

MOST = 6
"""Turns that are worked out beforehand."""
LOOKED_AT = 80
"""Turns that are looked at on the way to them."""
LEAST = 0.05
"""What is less likely than this is left until it is there."""
WORK = MOST_WORK // 8
"""Cells that a ranking may pass through beforehand: whoever replies meanwhile waits so long."""


class ForeseeAsked(OfCase, frozen=True):
    """A case, and the number of what is to be worked out, from 0: the likeliest first."""

    number: int = 0


class Foreseen(msgspec.Struct, frozen=True):
    """Whether that was the last, of how many."""

    done: bool
    of: int


class _ThoughtError(Exception):
    """Something has to be thought about."""


class _Unthinking(Counsel):
    """A counsel that thinks nothing: it tells that it was asked."""

    def once(self, *_: object, **__: object) -> Never:
        """Raise ``_ThoughtError``: whatever is asked has to be thought about."""
        raise _ThoughtError


def foresee(carried: Carried, asked: ForeseeAsked) -> Foreseen:
    """Work out the turn that the likeliest replies lead to, one of them at a time.

    Replies that need no thought are gone through: what a check may show is foreseen before it
    is done. Asked with 0, 1, ... until the last, the page has the next turns at hand.
    """
    held = carried.held(asked)
    key = ("ahead", asked.author, bytes(asked.entries))
    ahead = carried.once(key, lambda: tuple(_Ahead(carried, held.seen)))
    if 0 <= asked.number < len(ahead):
        _work_out(ahead[asked.number])
    return Foreseen(asked.number + 1 >= len(ahead), len(ahead))


def _work_out(visit: Visit) -> None:
    """Work out a turn with what stands beside it, unless whoever replies would wait too long."""
    with suppress(TooLargeError, ConflictError):
        grounds(visit.talk.subject, visit.at.evidence).refuse_beyond(WORK)
        beside(visit, visit.turn)


class _Ahead:
    """The visits after likely replies whose turns need thought, the likeliest first."""

    def __init__(self, carried: Carried, root: Visit) -> None:
        self._root = root
        self._outcomes = _outcomes(carried, root)
        self._waiting: list[tuple[float, int, Visit]] = []
        self._count = count()

    def __iter__(self) -> Iterator[Visit]:
        return islice(self._thought_about(), MOST)

    def _thought_about(self) -> Iterator[Visit]:
        """Yield visits whose turns need thought; go through all others."""
        talk = self._root.talk
        quiet = Talk(talk.subject, _Unthinking(talk.subject, talk.counsel.who))
        self._reach(1.0, replace(self._root, talk=quiet), self._root.turn)
        for _ in range(LOOKED_AT):
            if not self._waiting:
                return
            share, _, visit = heappop(self._waiting)
            try:
                turn = visit.turn
            except _ThoughtError:
                yield replace(visit, talk=talk)
            else:
                self._reach(-share, visit, turn)

    def _reach(self, share: float, visit: Visit, turn: Turn) -> None:
        """Add the visits after the replies to a turn that are likely enough."""
        for event, part in shares(visit.talk, visit.at, turn, self._outcomes):
            if share * part >= LEAST:
                there = (-share * part, next(self._count), visit.after(event))
                heappush(self._waiting, there)


def _outcomes(carried: Carried, visit: Visit) -> tuple[Outcome, ...]:
    """Return the joint answers of the step that is offered, or that is being done."""
    if visit.turn.kind == "step":
        step = best(visit.talk, visit.at)[0]
        carried.offered[visit.id, step.id] = step.outcomes
        return step.outcomes
    return carried.offered.get((visit.id, visit.at.step), ())
