"""What people at work on one case have said differently, asked again of whoever looks."""

from msgspec.structs import replace

from faultnet.cases.case import Conflict
from faultnet.visit.progress import Progress
from faultnet.visit.question import question
from faultnet.visit.talk import Talk
from faultnet.visit.told import answer_said, title_of
from faultnet.visit.turn import Line, Turn


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
    subject, about = talk.subject, conflict.about
    said = [
        f"{voice.author} ({voice.speaker}): {answer_said(subject, about, voice.value)}"
        for voice in conflict.said
    ]
    first = Line("say", f"{title_of(subject, about)}. Neither had seen the other's.")
    return (first, *(Line("item", text) for text in said))
