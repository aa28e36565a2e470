"""A site with a fault that is drawn, whose replies are keys and typed words."""

import random
from dataclasses import dataclass, field

from faultnet.advice.subject import Subject
from faultnet.cases.events import Event, Passed, Picked, Told
from faultnet.network.build import UNLISTED
from faultnet.visit.progress import wrong
from faultnet.visit.visit import Visit
from tests.visit.truthful import Site

COMPLAINTS = 2
"""What is told at the list of what is seen, at most."""


@dataclass
class Truthful:
    """A pump with one fault, and somebody who answers truthfully by key."""

    site: Site
    told: set[str] = field(default_factory=set)

    @classmethod
    def drawn(cls, subject: Subject, dice: random.Random) -> "Truthful":
        """Return a site with a fault that shows something, and a likely layout."""
        known = subject.knowledge.causes
        causes = [c for c in subject.causes if c != UNLISTED and known[c].shows]
        chances = [subject.network.causes[subject.causes[c]].probability for c in causes]
        layout = {
            name: dice.choices(list(values), [n.value for n in values.values()])[0]
            for name, values in subject.system.layout.items()
        }
        return cls(Site(subject, dice.choices(causes, chances)[0], layout))

    def reply(self, visit: Visit) -> dict[str, str]:
        """Return the reply to the turn that is due, as the page sends it."""
        turn = visit.turn
        if turn.kind == "danger" and turn.typed is not None:
            return {"typed": "safe"}
        event = self._seen(visit) if turn.kind == "seen" else self.site.answer(visit)
        for reply in turn.replies:
            if reply.event == event:
                return {"key": reply.key}
        for reply in turn.replies:  # one of several answers, of which the site says only yes
            if isinstance(reply.event, Told) and self._wrong(reply.event):
                return {"key": reply.key}
        raise AssertionError((turn, event))

    def _seen(self, visit: Visit) -> Event:
        signs = self.site.signs() if not self.site.mended(visit) else set()
        offered = [each.event for each in visit.turn.replies if isinstance(each.event, Picked)]
        for event in offered:
            if event.about in signs - self.told and len(self.told) < COMPLAINTS:
                self.told.add(event.about)
                return event
        return Passed("seen")

    def _wrong(self, told: Told) -> bool:
        return wrong(self.site.subject.knowledge.findings[told.about], told.answer)
