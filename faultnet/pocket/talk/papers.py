"""`report`, `casefile` and `opened`: a case on paper, and as a file out and in."""

import msgspec

from faultnet.cases.casefile import CasefileError, casefile_from, casefile_of, text_of
from faultnet.cases.entry import Entry
from faultnet.pocket.talk.carried import Carried, OfCase, site_in
from faultnet.pocket.talk.logs import NONE, case_log, site_log
from faultnet.pocket.talk.trouble import TroubleError
from faultnet.report.report import service_report
from faultnet.report.words import Audience
from faultnet.writing.html import html

SUFFIX = ".json"


class ReportAsked(OfCase, frozen=True):
    """A case, and whose copy of the report is wanted."""

    audience: Audience = "customer"


class Report(msgspec.Struct, frozen=True):
    """The service report as a page that needs nothing else."""

    html: str


class CasefileAsked(msgspec.Struct, frozen=True):
    """A case with its site, perhaps without what tells of the customer."""

    entries: msgspec.Raw
    site_entries: msgspec.Raw = NONE
    without_customer: bool = False


class CasefileWritten(msgspec.Struct, frozen=True):
    """A file to carry the case along: how it is named, and what stands in it."""

    name: str
    text: str


class OpenedAsked(msgspec.Struct, frozen=True):
    """A file that was carried here."""

    name: str
    text: str


class CasefileOpened(msgspec.Struct, frozen=True):
    """The case of a file, with its site."""

    log: str
    entries: tuple[Entry, ...]
    site_entries: tuple[Entry, ...]


def report(carried: Carried, asked: ReportAsked) -> Report:
    """Write the service report of a case."""
    held, site = carried.held(asked), site_in(asked.site_entries)
    unread = len(held.log.unread) + len(site_log(asked.site_entries).unread)
    subject, entries = held.kept.talk.subject, held.log.entries
    return Report(html(service_report(subject, entries, site, asked.audience, unread)))


def casefile(_: Carried, asked: CasefileAsked) -> CasefileWritten:
    """Write a case as a file; raise ``TroubleError`` where some of it cannot be read."""
    case, site = case_log(asked.entries), site_log(asked.site_entries)
    for trouble in (*case.unread, *site.unread):
        raise TroubleError(trouble.place, f"{trouble.reason} Nothing was written.", trouble.mend)
    made = casefile_of(case.entries, site.entries, without_customer=asked.without_customer)
    return CasefileWritten(f"{made.case}{SUFFIX}", text_of(made).decode())


def opened(_: Carried, asked: OpenedAsked) -> CasefileOpened:
    """Read a case out of its file; raise ``TroubleError`` for what is none, or damaged."""
    try:
        found = casefile_from(asked.text.encode(), asked.name)
    except CasefileError as error:
        raise TroubleError(error.place, f"This file {error.reason}", error.mend) from None
    return CasefileOpened(found.case, found.events, found.site_events)
