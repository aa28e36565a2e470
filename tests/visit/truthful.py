"""A site with a known fault, answered as it would answer.

A finding is there when the fault alone shows it at least half of the time, or when it
mostly follows from one that is there.
"""

from dataclasses import dataclass

from faultnet.advice.subject import Subject
from faultnet.cases.events import Confirmed, Event, MadeSafe, Told
from faultnet.visit.visit import Visit

HALF = 0.5


@dataclass(frozen=True)
class Site:
    """A pump with one fault, and somebody who answers truthfully."""

    subject: Subject
    cause: str
    layout: dict[str, str]

    @property
    def repair(self) -> str:
        return self.subject.knowledge.causes[self.cause].repair

    def signs(self) -> set[str]:
        shows = self.subject.knowledge.causes[self.cause].shows
        there = {s.finding for s in shows if sum(n.value for n in s.strength) >= HALF}
        for finding in self.subject.findings:
            for rule in self.subject.knowledge.findings[finding].follows_from:
                if rule.finding in there and sum(n.value for n in rule.strength) >= HALF:
                    there.add(finding)
        return there

    def mended(self, visit: Visit) -> bool:
        return any(self.repair in r.repairs for r in visit.at.evidence.rounds)

    def answer(self, visit: Visit) -> Event:
        turn = visit.turn
        events = [reply.event for reply in turn.replies if reply.event is not None]
        by_key = {reply.key: reply.event for reply in turn.replies if reply.event is not None}
        if turn.kind == "danger" and turn.typed is not None:
            return MadeSafe(turn.typed.what.partition(":")[2])
        if turn.kind == "as-found":
            return by_key["s"]
        for event in events:
            if isinstance(event, Confirmed):
                return Confirmed(self.cause if self.mended(visit) else "", event.round)
        for event in events:
            if isinstance(event, Told):
                return self._told(visit, event.about) or by_key["?"]
        yes_is_work = turn.kind not in {"works", "dangers"}
        for key in ("d", "y" if yes_is_work else "n", ""):
            if key in by_key:
                return by_key[key]
        raise AssertionError(turn)

    def _told(self, visit: Visit, about: str) -> Event | None:
        if about in self.subject.findings:
            there = about in self.signs() and not self.mended(visit)
            return Told(about, "yes" if there else "no")
        return Told(about, self.layout[about]) if about in self.layout else None
