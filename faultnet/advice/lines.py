"""The authored lines behind a probability, each with its place."""

import msgspec

from faultnet.advice.subject import Subject
from faultnet.model.cause import Cause
from faultnet.model.origin import Number
from faultnet.network.build import UNLISTED


class Line(msgspec.Struct, frozen=True):
    """An authored line: what it says and where it stands, provenance in words."""

    text: str
    place: str


LEADING = 2
"""Causes told that lead to another, the likeliest ones."""


def how_common(subject: Subject, cause: str) -> tuple[Line, ...]:
    """Return the lines that say how common a cause is, of itself and brought along."""
    if cause == UNLISTED:
        number = subject.system.unlisted.how_common
        told = f"something unlisted is as common as {_text((number,))}"
        return (Line(told, str(number.origin)),)
    number = subject.knowledge.causes[cause].how_common
    lines = [Line(f"{cause} is as common as {_text((number,))}", str(number.origin))]
    leading = [
        (leads.strength.value * by.how_common.value, by.id, leads.strength, leads.origin)
        for by in subject.knowledge.causes.values()
        for leads in by.leads_to
        if leads.cause == cause and leads.strength is not None and by.id in subject.causes
    ]
    for _, name, strength, origin in sorted(leading, reverse=True, key=lambda e: e[:2])[:LEADING]:
        lines.append(Line(f"{name} leads to {cause}: {_text((strength,))}", str(origin)))
    return tuple(lines)


def lines_of(subject: Subject, cause: str, about: str) -> tuple[Line, ...]:
    """Return the authored lines that join a cause to a finding, reading, layout or circumstance."""
    if cause == UNLISTED:
        shows = subject.system.unlisted.shows
        return tuple(
            Line(f"something unlisted shows {s.finding}: {_text(s.strength)}", str(s.origin))
            for s in shows
            if s.finding == about
        )
    entry = subject.knowledge.causes[cause]
    if about in subject.knowledge.readings:
        findings = subject.knowledge.readings[about].findings
        return tuple(line for each in findings for line in _lines_about(subject, entry, each))
    return _lines_about(subject, entry, about)


def _lines_about(subject: Subject, entry: Cause, about: str) -> tuple[Line, ...]:
    """The authored lines that join a cause to a finding or a root."""
    cause = entry.id
    lines = [
        Line(f"{cause} shows {about}: {_text(s.strength)}", str(s.origin))
        for s in entry.shows
        if s.finding == about
    ]
    lines += [
        Line(
            f"{cause} is likelier when {f.about} is {f.value}: odds times {_text((f.factor,))}",
            str(f.factor.origin),
        )
        for f in entry.likelier_when
        if f.about == about
    ]
    if about in entry.only_when:
        values = " or ".join(entry.only_when[about])
        lines.append(Line(f"{cause} only when {about} is {values}", str(entry.origin)))
    finding = subject.knowledge.findings.get(about)
    if finding is not None:
        shown = {s.finding for s in entry.shows}
        lines += [
            Line(f"{about} follows from {rule.finding}: {_text(rule.strength)}", str(rule.origin))
            for rule in finding.follows_from
            if rule.finding in shown
        ]
        if not lines:
            leak = f"{about} shows with no cause at all: {_text(finding.shows_anyway)}"
            lines.append(Line(leak, str(finding.origin)))
    return tuple(lines)


def _text(numbers: tuple[Number, ...]) -> str:
    """Numbers as authored, with where they come from."""
    parts = []
    for number in numbers:
        word = f"{number.word} = " if number.word else ""
        parts.append(f"{word}{number.value:g} ({', '.join(number.provenance)})")
    return ", ".join(parts)
