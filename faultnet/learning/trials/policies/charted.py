"""A fixed chart: what faultnet would print for a complaint, followed box by box on the wall.

The chart is made of the complaint alone, by the same planner, and grows along the way that a
call takes: it is the same chart whoever follows it, and its boxes are kept.
"""

from collections.abc import Hashable
from functools import cached_property

import msgspec

from faultnet.advice.followed import Place
from faultnet.advice.observe import levels_of
from faultnet.advice.plan import Repairs
from faultnet.advice.recent import Recent
from faultnet.advice.subject import Subject
from faultnet.learning.trials.policies.habit import Habit, Plain
from faultnet.learning.trials.policy import HAND_OVER, At, Chosen
from faultnet.model.evidence import Answer, Evidence, Round

PLACES = 20_000
"""Boxes that are kept."""


class Charted(Plain, frozen=True, dict=True):
    """Follows a chart of so many answers: checks by the boxes, then repairs in a fixed order.

    What the caller told besides the first complaint, and what is seen beyond the boxes, is
    of no account, and nothing is thought anew after a repair.
    """

    depth: int = 6

    @cached_property
    def boxes(self) -> Recent:
        """The places of charts."""
        return Recent(PLACES)

    def next(self, at: At) -> Chosen | None:
        """Return the next box, or the next repair where the chart ends."""
        if at.who == "caller":
            return Habit(at).by_phone()
        place = self._start(at.subject, at.complaints[0])
        for _ in range(self.depth):
            if not place.looks or place.step is None:
                break
            check = place.step.id
            if not at.repaired and check not in at.checked:
                return Chosen("check", check)
            then = self._then(at, place)
            if then is None:
                return _in_order(at, place.look.rest)
            place = then
        return _in_order(at, place.repairs if place.outlooks is not None else None)

    def _start(self, subject: Subject, complaint: str) -> Place:
        evidence = Evidence((Round((Answer(complaint, "yes", "caller"),)),))
        return self._kept(Place(subject, evidence, "technician"))

    def _kept(self, place: Place) -> Place:
        key: Hashable = (id(place.subject), msgspec.msgpack.encode(place.evidence), place.done)
        kept: Place = self.boxes.once(key, lambda: place)
        return kept

    def _then(self, at: At, place: Place) -> Place | None:
        """The place that the answers to a box lead to; none for any other answer."""
        for answered in place.likeliest:
            if all(_said(at, about, answer) for about, answer in answered.answers.items()):
                return self._kept(answered.place)
        return None


def _said(at: At, about: str, answer: str) -> bool:
    """Whether this was the answer in the first round, the last word counting."""
    if about in at.subject.system.layout:
        return at.evidence.layout.get(about) == answer
    if about in at.subject.system.circumstances:
        return at.evidence.circumstances.get(about) == (answer == "yes")
    given = [a.answer for a in at.evidence.rounds[0].answers if a.finding == about]
    entry = at.subject.knowledge.findings[about]
    return bool(given) and levels_of(entry, given[-1]) == levels_of(entry, answer)


def _in_order(at: At, repairs: Repairs | None) -> Chosen:
    turns = repairs.turns if repairs is not None else ()
    left = [turn.repair for turn in turns if turn.repair not in at.repaired]
    left = [repair for repair in left if repair not in at.checked]
    return Chosen("repair", left[0]) if left else HAND_OVER
