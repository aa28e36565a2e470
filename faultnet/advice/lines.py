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


def how_common(subject: Subject, cause: str) -> Line:
    """Return the line that says how common a cause is."""
    if cause == UNLISTED:
        number, name = subject.system.unlisted.how_common, "something unlisted"
    else:
        number, name = subject.knowledge.causes[cause].how_common, cause
    return Line(f"{name} is as common as {_text((number,))}", str(number.origin))


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
