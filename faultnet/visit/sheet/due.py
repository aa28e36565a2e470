"""What is due next, and on which day."""

import datetime as dt
import re

from faultnet.cases.events import Disinfected, NextDue
from faultnet.visit.sheet.page import Page, UnfitLineError, asking, choosing, in_words, one_line
from faultnet.visit.sheet.remarks import open_proof
from faultnet.visit.turn import Reply, Turn

SPANS = {
    "tomorrow": 1,
    "in a week": 7,
    "in four weeks": 28,
    "in half a year": 182,
    "in a year": 365,
}
"""Days ahead."""

FARTHEST = 20 * 366
"""Days; a day beyond is a slip of the hand."""

OF_END = {
    "part-on-order": "Fit the part that is on order",
    "temporary": "The lasting repair",
    "made-safe": "Mend the fault; it was made safe only",
    "no-access": "Another visit; nobody could get to the pump",
}
"""What an ending leaves to be done."""

_DAY = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)


def offered(page: Page, _: str) -> Turn:
    """Return what is likely to be due."""
    replies = [Reply("", text, view=f"sheet:date:{text}") for text in _texts(page)]
    other = Reply("t", "type what is due", view="sheet:due-text")
    return choosing("What is due next?", replies, other)


def _texts(page: Page) -> list[str]:
    sampled = any(isinstance(e := c.entry.event, Disinfected) and e.sampled for c in page.lines)
    full = any(repair.disinfect == "full" for repair in page.repairs)
    proof = open_proof(page)
    return [
        *((f"Proof: {proof}",) if proof else ()),
        *(("Water sample, before anybody drinks",) if full and not sampled else ()),
        *((OF_END[page.at.ending],) if page.at.ending in OF_END else ()),
        "Next service",
    ]


def date(page: Page, text: str) -> Turn:
    """Return the days that are offered for something that is due."""
    what = one_line(text)
    days = {label: page.today + dt.timedelta(days=days) for label, days in SPANS.items()}
    replies = [Reply("", f"{label}: {day}", NextDue(what, day)) for label, day in days.items()]
    other = Reply("t", "type another day", view=f"sheet:day:{what}")
    return choosing(f"When? {what}", replies, other)


def day_asked(_: Page, what: str) -> Turn:
    """Return the turn that asks for a day."""
    return asking(f"When? {what}", f"day:{what}", "Year-month-day, as `2027-02-28`")


def day_taken(page: Page, what: str, text: str) -> NextDue:
    """Return what is due on the day that was typed."""
    day = _day(text.strip())
    if day < page.today:
        raise UnfitLineError(f"{day} is over: today is {page.today}.")
    if day > page.today + dt.timedelta(days=FARTHEST):
        raise UnfitLineError(f"{day} is more than 20 years away.")
    return NextDue(one_line(what), day)


def _day(text: str) -> dt.date:
    try:
        if _DAY.fullmatch(text):
            return dt.date.fromisoformat(text)
    except ValueError:
        pass
    raise UnfitLineError(f"`{text[:40]}` is no date. Write year-month-day, as 2027-02-28.")


TEXT = in_words("What is due next?", "due-text", "A few words; the day comes next", date)
