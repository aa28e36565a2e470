"""Parts that were fitted: those of the repairs that were done by key, any other typed."""

from faultnet.cases.events import Fitted
from faultnet.model.in_words import plain
from faultnet.visit.sheet.page import Page, UnfitLineError, asking, choosing, fields, one_line
from faultnet.visit.turn import Line, Reply, Turn

MOST = 999
"""Pieces of one part."""

SERIAL = "As `K-4471`; with how many, as `2, K-4471`; only how many, as `2,`."
PART = (
    "As `check valve 1 in`; with how many and the serial number, as `check valve 1 in, 2, K-4471`."
)


def offered(page: Page, _: str) -> Turn:
    """Return the parts that the repairs take; one that is on the sheet asks for its number."""
    names = dict.fromkeys(part for repair in page.repairs for part in repair.parts)
    if not names:
        return asked(page, "")
    there = {e.part for each in page.lines if isinstance(e := each.entry.event, Fitted)}
    replies = [
        Reply("", f"{plain(part)}: how many, serial number", view=f"sheet:serial:{part}")
        if part in there
        else Reply("", plain(part), Fitted(part))
        for part in names
    ]
    other = Reply("t", "type another part", view="sheet:part")
    return choosing("Which part was fitted?", replies, other)


def asked(_: Page, __: str) -> Turn:
    """Return the turn that asks for a part in somebody's own words."""
    return asking("Which part was fitted?", "part", "Part", (Line("say", PART),))


def taken(page: Page, _: str, text: str) -> Fitted:
    """Return a part that was typed: its name, how many, serial number."""
    name, number, serial = fields(one_line(text), 3)
    if not name:
        raise UnfitLineError("The name of the part comes first.")
    part = name.lower().replace(" ", "-")
    known = {p for repair in page.talk.subject.knowledge.repairs.values() for p in repair.parts}
    many = _whole(number)
    return Fitted(part, many, serial) if part in known else Fitted("", many, serial, name)


def serial_asked(page: Page, part: str) -> Turn:
    """Return the turn that asks how many of a part there are, and for the serial number."""
    if part not in {p for repair in page.repairs for p in repair.parts}:
        return offered(page, "")
    lines = (Line("say", SERIAL),)
    return asking(f"Serial number: {plain(part)}", f"serial:{part}", "Serial number", lines)


def serial_taken(_: Page, part: str, text: str) -> Fitted:
    """Return a part with what was typed: how many and the serial number, or that alone."""
    line = one_line(text)
    if "," not in line:
        return Fitted(part, serial=line)
    number, serial = fields(line, 2)
    return Fitted(part, _whole(number), serial)


def _whole(text: str) -> int:
    if text and not (text.isascii() and text.isdigit() and 1 <= int(text[:9]) <= MOST):
        raise UnfitLineError(f"`{text[:40]}` is not how many: a whole number from 1 to {MOST}.")
    return int(text or 1)
