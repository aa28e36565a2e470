"""The closing sheet: what stands on it, what can be added, and where each key leads."""

from collections import Counter
from collections.abc import Sequence

from msgspec.structs import replace

from faultnet.cases.events import AnyEvent, Disinfected, Event, Passed, Undone
from faultnet.cases.written import sheet_of
from faultnet.reckon.units import UnfitNumberError
from faultnet.visit import closing
from faultnet.visit.progress import Progress
from faultnet.visit.retry import DISINFECT
from faultnet.visit.sheet import due, parts, remarks, signing, water
from faultnet.visit.sheet.line import kind_of, line_said
from faultnet.visit.sheet.page import Asked, Page, Taken, UnfitLineError
from faultnet.visit.talk import Talk
from faultnet.visit.told import HOW
from faultnet.visit.turn import BACK, ENTER, KEYS, Line, Reply, Turn, lines, numbered

STAGE = "sheet"

KINDS = {
    "parts": "parts that were fitted",
    "water": "disinfection",
    "unsafe": "something unsafe",
    "watch": "what to watch",
    "due": "what is due next, and when",
    "signed": "licence and signatures",
}
"""What can be added, by view."""

LISTS: dict[str, Asked] = {
    "parts": parts.offered,
    "water": water.offered,
    "bleach": water.bleach,
    "contact": water.contact,
    "sample": water.sample,
    "unsafe": remarks.unsafe_offered,
    "declined": remarks.declined,
    "watch": remarks.watch_offered,
    "due": due.offered,
    "date": due.date,
    "signed": signing.offered,
}
"""Turns with keys."""

TEXTS: dict[str, tuple[Asked, Taken]] = {
    "part": (parts.asked, parts.taken),
    "serial": (parts.serial_asked, parts.serial_taken),
    "volume": (water.volume_asked, water.volume_taken),
    "time": (water.time_asked, water.time_taken),
    "dose": (water.dose_asked, water.dose_taken),
    "unsafe-text": remarks.UNSAFE_TEXT,
    "watch-text": remarks.WATCH_TEXT,
    "due-text": due.TEXT,
    "day": (due.day_asked, due.day_taken),
    "licence": signing.LICENCE,
    "name": (signing.name_asked, signing.name_taken),
}
"""Turns with text, and what the text becomes."""


def asked(talk: Talk, at: Progress) -> Turn | None:
    """Return the sheet once the end is settled, until there is nothing more to write."""
    how = closing.settled(talk, at)
    if not how or STAGE in at.passed or at.speaker == "caller":
        return None
    written = [each.entry.event for each in sheet_of(at.case)]
    keyed = [
        Reply(str(number), _label(talk, at, kind, label), view=f"sheet:{kind}")
        for number, (kind, label) in enumerate(KINDS.items(), 1)
    ]
    strike = [Reply("x", "see all, strike a line", view="sheet:strike")] if written else []
    done = Reply(ENTER, "nothing more", Passed(STAGE))
    body = _so_far(written)
    replies = (*keyed, *strike, done)
    return Turn("sheet", HOW.get(how, how), "The sheet: what goes into the report", body, replies)


def _so_far(written: Sequence[Event]) -> tuple[Line, ...]:
    """Return how much is written of each kind, then the lines where the screen has room."""
    if not written:
        return (Line("say", "Nothing is written yet. What is left out has a line for the pen."),)
    counts = Counter(kind_of(event) for event in written)
    told = ", ".join(f"{kind} {number}" for kind, number in counts.items())
    return (Line("say", f"So far: {told}."), *lines("note", tuple(map(line_said, written))))


def _label(talk: Talk, at: Progress, kind: str, label: str) -> str:
    """Return what can be added, and whether a repair asks for it and it is not there yet."""
    known = talk.subject.knowledge.repairs
    done = [known[name] for round_ in at.evidence.rounds for name in round_.repairs]
    if kind != "water" or not any(repair.disinfect in DISINFECT for repair in done):
        return label
    there = any(isinstance(each.entry.event, Disinfected) for each in sheet_of(at.case))
    return label if there else f"{label}: asked for"


def view(page: Page, which: str) -> Turn:
    """Return a turn that helps to write a line; raise ``KeyError`` where there is none."""
    kind, _, rest = which.partition(":")
    if kind == "strike":
        return _strike(page)
    asks = LISTS[kind] if kind in LISTS else TEXTS[kind][0]
    return asks(page, rest)


def typed(page: Page, which: str, text: str) -> AnyEvent | Turn:
    """Return the line that was typed, the turn that follows, or the turn that asks again."""
    kind, _, rest = which.partition(":")
    asks, takes = TEXTS[kind]
    try:
        return takes(page, rest, text)
    except (UnfitLineError, UnfitNumberError) as error:
        turn = asks(page, rest)
        return replace(turn, lines=(*turn.lines, Line("caution", str(error))))


def _strike(page: Page) -> Turn:
    labels: dict[str, AnyEvent] = {
        line_said(each.entry.event): Undone(each.entry.id) for each in page.lines[-len(KEYS) :]
    }
    replies = (*numbered(labels), BACK)
    return Turn("sheet-list", "The sheet", "Which line is struck out?", (), replies)
