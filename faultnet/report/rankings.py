"""How the causes ranked before arrival and after each step: what the office looks at later."""

from itertools import pairwise

import msgspec

from faultnet.advice.ranking import rank
from faultnet.advice.subject import Subject
from faultnet.cases import events as e
from faultnet.cases.entry import Entry
from faultnet.cases.fold import fold
from faultnet.cases.order import order_of
from faultnet.inference.engine import TooLargeError
from faultnet.report.course import Course
from faultnet.visit.said import said
from faultnet.writing.document import Block, Paragraph, Section, Table

SHOWN = 4
"""Causes shown of each ranking."""

MOST = 40
"""Steps ranked; what came between the first and the last of more is left out."""

_STEPS = (e.StepDone, e.RepairDone, e.RoundBegun)
_ARRIVED = (e.StepBegun, *_STEPS)


def rankings(course: Course, entries: tuple[Entry, ...]) -> Section:
    """Return the rankings of a case, worked out from its entries with today's knowledge."""
    counting = {each.entry.id for each in course.case.entries}
    ordered = _counted(order_of(entries).entries, counting)
    stops = _stops(course, ordered)
    blocks: list[Block] = []
    if len(stops) > MOST:
        blocks.append(Paragraph(f"Of {len(stops)} steps the first and the last are shown."))
        stops = [*stops[: MOST // 2], *stops[-MOST // 2 :]]
    rows = tuple((label, _ranked(course.subject, ordered[:end])) for label, end in stops)
    blocks.append(Table(("After", "Likeliest causes"), rows))
    if course.case.knowledge not in {"", course.subject.knowledge.version}:
        blocks.append(
            Paragraph(
                "The knowledge has changed since the case was opened; these figures are "
                "worked out anew and may differ from what was shown then."
            )
        )
    return Section("Ranking before arrival and after each step", tuple(blocks))


def _counted(ordered: tuple[Entry, ...], counting: set[str]) -> list[Entry]:
    """Return entries in order; what does not count stays as a link and says nothing."""
    return [
        each if each.id in counting else msgspec.structs.replace(each, event=e.Paused())
        for each in ordered
    ]


def _stops(course: Course, ordered: list[Entry]) -> list[tuple[str, int]]:
    """Return what each ranking stands after, and the number of entries behind it."""
    arrived = next((k for k, each in enumerate(ordered) if _arrives(each, k)), len(ordered))
    caller = isinstance(ordered[0].event, e.Opened) and ordered[0].event.speaker == "caller"
    stops = [("The call, before arrival" if caller else "The first answers", arrived)]
    steps = [k for k, each in enumerate(ordered) if isinstance(each.event, _STEPS)]
    if caller and steps and any(_says(each) for each in ordered[arrived : steps[0]]):
        stops.append(("What was seen on arrival", steps[0]))
    for place, end in pairwise([*steps, len(ordered)]):
        event = ordered[place].event
        label = said(course.subject, event) or "The system was changed"
        stops.append((label, end))
    return stops


def _arrives(entry: Entry, place: int) -> bool:
    event = entry.event
    joined = isinstance(event, e.Joined) and event.speaker == "technician" and place > 0
    return joined or isinstance(event, _ARRIVED)


def _says(entry: Entry) -> bool:
    return isinstance(entry.event, e.Told | e.Measured)


def _ranked(subject: Subject, entries: list[Entry]) -> str:
    evidence = fold(subject, entries).evidence
    try:
        ranking = rank(subject, evidence)
    except TooLargeError:
        return "Too many answers for an exact ranking."
    if ranking.conflict:
        return "The answers could not all be true together."
    told = [f"{c.title} {_percent(c.probability)}" for c in ranking.causes[:SHOWN]]
    return "; ".join([*told, f"something not in the files {_percent(ranking.unlisted)}"])


def _percent(probability: float) -> str:
    return f"{probability:.0%}" if probability >= 0.01 else "under 1%"
