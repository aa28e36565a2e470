"""Callers who answer by what is at fault, and calls talked through with them."""

from faultnet.cases.events import Told
from faultnet.desk.call import Call, call_of
from faultnet.visit.turn import Reply
from tests.visit.press import ANNA, written

TYPED = {
    "complaint": "",
    "name": "Mill at Orquay",
    "call-back": "0555 0101",
    "address": "Weir Lane 1",
    "access": "dog, pump in the cellar",
    "people": "4",
    "water": "600",
    "drive": "35",
}
"""What is typed for each field; all of it invented."""


def calling(subject, *events, trucks=()):
    """Return the call of one dispatcher after events, the first of which opens it."""
    return call_of(subject, written(*events), ANNA, trucks)


class Caller:
    """Says yes to what a cause shows oftener than not, no to everything else."""

    def __init__(self, subject, cause, *, reach="y", need="n"):
        known = subject.knowledge.causes[cause]
        self.shows = {
            link.finding for link in known.shows if sum(n.value for n in link.strength) >= 0.5
        }
        self.shows |= {
            name for name, entry in subject.knowledge.findings.items() if entry.found_cause == cause
        }
        self._follow(subject)
        self.keys = {"reach": reach, "need": need}

    def _follow(self, subject):
        before = set()
        while before != self.shows:
            before = set(self.shows)
            for name, entry in subject.knowledge.findings.items():
                if any(
                    rule.finding in before and sum(n.value for n in rule.strength) >= 0.5
                    for rule in entry.follows_from
                ):
                    self.shows.add(name)

    def reply(self, call: Call) -> Reply | str:
        """Return what is replied to the turn that is due."""
        turn = call.turn
        if turn.kind == "danger":
            return turn.reply("e")
        if turn.typed:
            field = turn.typed.what.partition(":")[2]
            return TYPED.get(field, "")
        told = [r for r in turn.replies if isinstance(r.event, Told) and r.event.answer != "no"]
        seen = [r for r in told if r.event.about in self.shows]
        if seen:
            return seen[0]
        wanted = self.keys.get(turn.kind, "")
        keys = (wanted, "n", "d", "") if wanted else ("n", "d", "?", "", "y")
        return next(r for k in keys for r in turn.replies if r.key == k)


def talk(call: Call, caller: Caller, until="outcome", limit=60) -> tuple[Call, list[str]]:
    """Return the call once a kind of turn is due, and the kinds of turns on the way."""
    kinds = []
    for _ in range(limit):
        turn = call.turn
        kinds.append(turn.kind)
        if turn.kind == until or call.over:
            return call, kinds
        replied = caller.reply(call)
        event = call.typed(turn.typed.what, replied) if isinstance(replied, str) else replied.event
        call = call.after(event)
    raise AssertionError(f"no {until} after {kinds}")
