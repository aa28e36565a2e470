"""What people at work on one case have said differently, asked again of whoever looks."""

from msgspec.structs import replace

from faultnet.cases.case import Conflict
from faultnet.visit.progress import Progress
from faultnet.visit.question import question
from faultnet.visit.talk import Talk
from faultnet.visit.turn import Line, Turn
from faultnet.visit.unsettled import said_apart


def asked(talk: Talk, at: Progress) -> Turn | None:
    """Return the question that settles the first conflict of the open round, if any."""
    now = len(at.evidence.rounds) - 1
    for conflict in at.case.conflicts:
        about = conflict.about
        measured = about in talk.subject.knowledge.readings
        if conflict.round in {None, now} and not measured and about not in at.unknown:
            turn = question(talk, at, about, "Two people say different things")
            return replace(turn, lines=(*_lines(talk, conflict), *turn.lines))
    return None


def _lines(talk: Talk, conflict: Conflict) -> tuple[Line, ...]:
    told = said_apart(talk.subject, conflict)
    first = Line("say", f"{told.title}. Neither had seen the other's.")
    return (first, *(Line("item", f"{v.author} ({v.by}): {v.words}") for v in told.said))
