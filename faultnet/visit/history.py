"""What was told and done in a case, one line for each event that says something."""

from collections.abc import Iterator

import msgspec

from faultnet.advice.subject import Subject
from faultnet.cases.case import Case
from faultnet.visit.said import said


class Happened(msgspec.Struct, frozen=True):
    """An event in words, with its round (from 0), its time (UTC) and its author."""

    round: int
    at: str
    author: str
    text: str


def history(subject: Subject, case: Case) -> Iterator[Happened]:
    """Yield what counts, in order."""
    for each in case.entries:
        text = said(subject, each.entry.event)
        if text:
            yield Happened(each.round, each.entry.at, each.entry.author, text)
