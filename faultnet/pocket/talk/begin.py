"""`begin`: a case is opened at the pump."""

import msgspec

from faultnet.cases.entry import Entry
from faultnet.cases.events import Opened
from faultnet.cases.site import begun_at
from faultnet.pocket.talk.carried import Carried, site_in
from faultnet.pocket.talk.logs import NONE


class BeginAsked(msgspec.Struct, frozen=True):
    """Who is there, and what stands there; with a site its system may be left out."""

    author: str
    system: str = ""
    site_entries: msgspec.Raw = NONE


class Kept(msgspec.Struct, frozen=True):
    """Entries to keep."""

    entries: tuple[Entry, ...]


def begin(carried: Carried, asked: BeginAsked) -> Kept:
    """Open a case; at a known site its layout and settings are known from the start."""
    writer, site = carried.writer(asked.author), site_in(asked.site_entries)
    opened = Opened(asked.system, knowledge=carried.knowledge.version)
    if site is not None:
        opened = begun_at(site, opened)
    carried.subject(opened.system, "$.system")
    return Kept((writer.begin(opened),))
