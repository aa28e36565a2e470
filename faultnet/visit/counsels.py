"""The counsels on all systems; what was worked out for one visit is at hand in the next."""

from dataclasses import replace
from threading import Lock

from faultnet.advice.subject import Subject
from faultnet.cases.entry import Entry, Writer
from faultnet.visit.counsel import Counsel
from faultnet.visit.talk import Talk
from faultnet.visit.visit import Visit, visit_of

KEPT = 100
"""What was worked out last, kept for each system and whoever is there."""


class Counsels:
    """One counsel for each system and whoever is there; threads may share them.

    ``most`` are the cells that one ranking may pass through.
    """

    def __init__(self, most: int | None = None) -> None:
        self._most = most
        self._making = Lock()
        self._made: dict[tuple[str, str], Counsel] = {}

    def on(self, subject: Subject, who: str) -> Counsel:
        """Return the arithmetic behind all visits to a system."""
        with self._making:
            about = subject.system.id, who
            if about not in self._made:
                self._made[about] = Counsel(subject, who, kept=KEPT, most=self._most)
            return self._made[about]

    def visit(self, subject: Subject, entries: tuple[Entry, ...], writer: Writer) -> Visit:
        """Return the visit that has these entries, for whoever replies."""
        visit = visit_of(subject, entries, writer)
        talk = Talk(subject, self.on(subject, visit.talk.counsel.who))
        return replace(visit, talk=talk)
