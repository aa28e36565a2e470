"""A case that was begun on the phone, as whoever takes it up reads it first."""

from faultnet.cases import events as e
from faultnet.cases.events import Passed
from faultnet.visit import take_along
from faultnet.visit.call_sheet import field_said
from faultnet.visit.progress import Progress, wrong
from faultnet.visit.said import tried_said
from faultnet.visit.talk import Talk
from faultnet.visit.told import answer_said, moment_said, title_of
from faultnet.visit.turn import ENTER, Line, Reply, Turn

STAGE = "handed-over"


def asked(talk: Talk, at: Progress) -> Turn | None:
    """Return what the phone has told, once, for a technician."""
    events = [each.entry.event for each in at.case.entries]
    by_phone = any(isinstance(x, e.Opened | e.Joined) and x.speaker == "caller" for x in events)
    if STAGE in at.passed or at.speaker != "technician" or not by_phone or at.done:
        return None
    read = Reply(ENTER, "read: I am there", Passed(STAGE))
    heading = f"From the phone, {moment_said(at.case.begun)}"
    body = (*_told(talk, at), *_sheet(at), *_notes(at), *take_along.lines(talk, at))
    return Turn("handed-over", heading, "What the caller told", body, (read,))


def _told(talk: Talk, at: Progress) -> tuple[Line, ...]:
    """What was told: trouble first, then what is as usual, the installation, what was tried."""
    answers = [a for r in at.evidence.rounds for a in r.answers if a.speaker == "caller"]
    bad = [a for a in answers if wrong(talk.finding(a.finding), a.answer)]
    fine = [a for a in answers if a not in bad]
    told = [
        Line(
            "item",
            f"{title_of(talk.subject, a.finding)}: "
            f"{answer_said(talk.subject, a.finding, a.answer)}",
        )
        for a in bad
    ]
    held = [title_of(talk.subject, c) for c, yes in at.evidence.circumstances.items() if yes]
    told += [Line("item", text) for text in held]
    told += [Line("item", f"Tried: {tried_said(talk.subject, each)}") for each in at.tried]
    if fine:
        titles = "; ".join(title_of(talk.subject, a.finding) for a in fine)
        told.append(Line("note", f"Told as not so: {titles}."))
    layout = [answer_said(talk.subject, k, v) for k, v in at.evidence.layout.items()]
    if layout:
        told.append(Line("note", f"{'; '.join(layout)}."))
    return tuple(told) or (Line("say", "Nothing was told but that there is trouble."),)


def _sheet(at: Progress) -> tuple[Line, ...]:
    """What was told for the call sheet."""
    return tuple(Line("item", field_said(*told)) for told in at.call_sheet.items() if told[1])


def _notes(at: Progress) -> tuple[Line, ...]:
    notes = [each.entry.event for each in at.case.entries]
    return tuple(Line("item", each.text) for each in notes if isinstance(each, e.Note))
