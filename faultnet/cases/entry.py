"""An event as it is written down: by whom, when, and after what."""

import re
import secrets
import time
from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Annotated, TypeAlias

import msgspec

from faultnet.cases.events import SITE_EVENTS, AnyEvent, SiteBegun

LONGEST = 200
"""Characters of an id or an author."""

MOST_SEEN = 1000
"""Entries that one entry may stand after at once."""

SITE = "site-"
"""How the id of a site begins."""

_ID = re.compile(r"[0-9A-Za-z][0-9A-Za-z._-]{0,199}", re.ASCII)
_TIME = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(?:\.\d{1,9})?Z", re.ASCII)
_LETTERS = "23456789abcdefghjkmnpqrstvwxyz"
"""Letters that are not taken for one another."""


Id: TypeAlias = Annotated[str, msgspec.Meta(extra_json_schema={"pattern": f"^{_ID.pattern}$"})]
"""An id that anybody can make by themselves; ``flaw`` looks whether it is one."""

Moment: TypeAlias = Annotated[
    str, msgspec.Meta(extra_json_schema={"pattern": f"^{_TIME.pattern}$"})
]
"""A time in UTC such as 2026-03-04T07:31:05.123Z."""


class Entry(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """An event of a log (a case or a site), made once and never changed.

    ``at`` is the author's clock (UTC, ISO 8601), ``number`` the author's own count in
    this log; ``after`` holds the last entries that the author had seen, of those no
    other had seen.
    """

    id: Id
    log: Id
    author: str
    at: Moment
    number: int
    after: tuple[Id, ...]
    event: AnyEvent


STORED = msgspec.json.Decoder(Entry)
"""Reads an entry as it is kept, in JSON; made here, before threads meet that type."""


@dataclass(frozen=True)
class Writer:
    """Who writes, and by which clock (seconds since 1970)."""

    author: str
    clock: Callable[[], float] = time.time

    def entry(self, log: str, event: AnyEvent, seen: Collection[Entry] = ()) -> Entry:
        """Return an event as it is written down by somebody who has seen these entries."""
        passed = {name for each in seen for name in each.after}
        after = tuple(sorted({each.id for each in seen} - passed))
        number = max((e.number for e in seen if e.author == self.author), default=0) + 1
        now = self.clock()
        return Entry(new_id(now), log, self.author, time_text(now), number, after, event)

    def begin(self, event: AnyEvent) -> Entry:
        """Return the first entry of a new case or site."""
        now = self.clock()
        log = new_site_id() if isinstance(event, SiteBegun) else new_case_id(now)
        return self.entry(log, event)


def new_id(now: float) -> str:
    """Return an id that nobody else makes, in order of time (UUID version 7, RFC 9562)."""
    number = int(now * 1000) << 80 | 7 << 76 | secrets.randbits(12) << 64
    number |= 2 << 62 | secrets.randbits(62)
    text = f"{number:032x}"
    return "-".join((text[:8], text[8:12], text[12:16], text[16:20], text[20:]))


def new_case_id(now: float) -> str:
    """Return the id of a case: the minute, and letters that make it the only one."""
    return f"{time.strftime('%Y%m%d-%H%M', time.localtime(now))}-{letters(5)}"


def new_site_id() -> str:
    """Return the id of a site."""
    return f"{SITE}{letters(6)}"


def time_text(now: float) -> str:
    """Return a time as it is written."""
    whole = time.strftime("%Y-%m-%dT%H:%M:%S", time.gmtime(now))
    return f"{whole}.{int(now * 1000) % 1000:03d}Z"


def seconds_of(text: str) -> float:
    """Return a time that was written, in seconds since 1970."""
    return datetime.fromisoformat(text.removesuffix("Z")).replace(tzinfo=UTC).timestamp()


def is_site(log: str) -> bool:
    """Whether a log is that of a site."""
    return log.startswith(SITE)


def flaw(entry: Entry) -> str:
    """Return what is wrong with an entry, or nothing."""
    for name, texts in (("id", (entry.id,)), ("log", (entry.log,)), ("after", entry.after)):
        if not all(map(_ID.fullmatch, texts)):
            return f"`{name}` is no id: letters, digits, dots and dashes, {LONGEST} at most"
    return _flaw_of_making(entry) or _flaw_of_place(entry)


def flaws(entries: Iterable[Entry], beside: dict[str, Entry]) -> Iterator[tuple[int, str]]:
    """Yield the number (from 0) of each entry that cannot be kept, and what is wrong.

    ``beside`` holds entries by their id that came along; these join them.
    """
    for number, entry in enumerate(entries):
        wrong = flaw(entry)
        if not wrong and beside.setdefault(entry.id, entry) != entry:
            wrong = f"its id `{entry.id}` has other content elsewhere"
        if wrong:
            yield number, wrong


def _flaw_of_making(entry: Entry) -> str:
    if not _is_time(entry.at):
        return "`at` is no time in UTC such as 2026-03-04T07:31:05.123Z"
    if not entry.author or len(entry.author) > LONGEST or not entry.author.isprintable():
        return f"`author` is no name of 1 to {LONGEST} characters"
    if not 0 < entry.number < 2**31:
        return "`number` does not count from 1"
    return ""


def _is_time(text: str) -> bool:
    if not _TIME.fullmatch(text):
        return False
    try:
        seconds_of(text)
    except (ValueError, OverflowError):
        return False
    return True


def _flaw_of_place(entry: Entry) -> str:
    if len(entry.after) > MOST_SEEN or entry.id in entry.after:
        return f"`after` names itself, or more than {MOST_SEEN}"
    if is_site(entry.log) and not isinstance(entry.event, SITE_EVENTS):
        return f"`{_what(entry)}` is no event of a site"
    return ""


def _what(entry: Entry) -> str:
    return str(entry.event.__struct_config__.tag)


def letters(number: int) -> str:
    """Return letters drawn at random."""
    return "".join(secrets.choice(_LETTERS) for _ in range(number))
