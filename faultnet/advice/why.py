"""Why a cause stands where it stands: what each answer did, and what would tip it."""

import msgspec
import numpy as np

from faultnet.advice.candidates import SPEAKER, Candidate, candidates
from faultnet.advice.conflict import Said, conflict
from faultnet.advice.dangers import DangerMet, dangers_met
from faultnet.advice.observe import counted, observe
from faultnet.advice.ranking import Beliefs, believe
from faultnet.advice.screen import Screen
from faultnet.advice.subject import Subject, UnknownNameError
from faultnet.inference.engine import ImpossibleEvidenceError
from faultnet.inference.query import Query
from faultnet.model.cause import Cause
from faultnet.model.evidence import Answer, Evidence, Round, Taken
from faultnet.model.origin import Number
from faultnet.network.build import UNLISTED

TRIED = 5
"""Further answers tried for what would change the ranking."""


class Line(msgspec.Struct, frozen=True):
    """An authored line: what it says and where it stands, provenance in words."""

    text: str
    place: str


class Move(msgspec.Struct, frozen=True):
    """What one answer did to the cause.

    ``without`` is the cause's probability with this answer left out and all others
    kept; ``before`` and ``after`` go through the answers in the order they were given.
    """

    about: str
    answer: str
    without: float
    before: float
    after: float
    lines: tuple[Line, ...]


class Change(msgspec.Struct, frozen=True):
    """A further answer that would put another cause first, and how likely it is."""

    about: str
    answer: str
    probability: float
    first: str
    first_probability: float


class Why(msgspec.Struct, frozen=True):
    """A cause from its probability on any call to its probability now, move by move."""

    system: str
    cause: str
    title: str
    before: float
    after: float
    moves: tuple[Move, ...]
    changes: tuple[Change, ...]
    dangers: tuple[DangerMet, ...]
    conflict: tuple[Said, ...] = ()


class _Piece(msgspec.Struct, frozen=True):
    """One piece of evidence of the open round, or of the site."""

    about: str
    answer: str
    what: Answer | Taken | None = None


def why(subject: Subject, evidence: Evidence, cause: str | None = None) -> Why:
    """Return why a cause stands where it stands; the likeliest one when none is named.

    Raises ``UnknownNameError``, ``UnfitReadingError`` and ``TooLargeError``.
    """
    if cause is not None and cause not in subject.causes:
        raise UnknownNameError("cause", cause, list(subject.causes))
    dangers = dangers_met(subject, evidence)
    beliefs = _beliefs(subject, evidence)
    if beliefs is None:
        found = conflict(subject, evidence)
        return Why(subject.system.id, cause or "", "", 0.0, 0.0, (), (), dangers, found)
    chosen = cause or max(
        (c for c in beliefs.causes if c != UNLISTED), key=lambda c: (beliefs.causes[c], c)
    )
    pieces = _pieces(evidence)
    steps = range(len(pieces) + 1)
    chances = [_chance(subject, _with(evidence, pieces[:k]), chosen) for k in steps]
    moves = tuple(
        Move(
            piece.about,
            piece.answer,
            _chance(subject, _with(evidence, [p for p in pieces if p is not piece]), chosen),
            chances[k],
            chances[k + 1],
            _lines(subject, chosen, piece),
        )
        for k, piece in enumerate(pieces)
    )
    changes = _changes(subject, evidence, beliefs)
    title = subject.title(chosen)
    after = beliefs.causes[chosen]
    return Why(subject.system.id, chosen, title, chances[0], after, moves, changes, dangers)


def _beliefs(subject: Subject, evidence: Evidence) -> Beliefs | None:
    try:
        return believe(subject, Query(subject.network, observe(subject, evidence)))
    except ImpossibleEvidenceError:
        return None


def _chance(subject: Subject, evidence: Evidence, cause: str) -> float:
    beliefs = _beliefs(subject, evidence)
    return 0.0 if beliefs is None else beliefs.causes[cause]


def _pieces(evidence: Evidence) -> list[_Piece]:
    pieces = [_Piece(layout, value) for layout, value in evidence.layout.items()]
    pieces += [_Piece(c, "yes" if held else "no") for c, held in evidence.circumstances.items()]
    pieces += [_Piece(a.finding, a.answer, a) for a in counted(evidence.now)]
    pieces += [_Piece(t.reading, "as measured", t) for t in evidence.now.taken]
    return pieces


def _with(evidence: Evidence, pieces: list[_Piece]) -> Evidence:
    """The evidence of earlier rounds, and of the present only some pieces."""
    kept = {p.about for p in pieces if p.what is None}
    now = Round(
        tuple(p.what for p in pieces if isinstance(p.what, Answer)),
        tuple(p.what for p in pieces if isinstance(p.what, Taken)),
    )
    return Evidence(
        (*evidence.rounds[:-1], now),
        {k: v for k, v in evidence.layout.items() if k in kept},
        {k: v for k, v in evidence.circumstances.items() if k in kept},
    )


def _lines(subject: Subject, cause: str, piece: _Piece) -> tuple[Line, ...]:
    """The authored lines that join a cause to a piece of evidence."""
    if cause == UNLISTED:
        shows = subject.system.unlisted.shows
        return tuple(
            Line(f"something unlisted shows {s.finding}: {_text(s.strength)}", str(s.origin))
            for s in shows
            if s.finding == piece.about
        )
    entry = subject.knowledge.causes[cause]
    if piece.about in subject.knowledge.readings:
        findings = subject.knowledge.readings[piece.about].findings
        return tuple(line for each in findings for line in _lines_about(subject, entry, each))
    return _lines_about(subject, entry, piece.about)


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


def _changes(subject: Subject, evidence: Evidence, beliefs: Beliefs) -> tuple[Change, ...]:
    """Answers to the most telling open questions that would put another cause first."""
    first = _first(beliefs)
    changes = []
    for candidate, about in _telling(subject, evidence, beliefs):
        speaker = SPEAKER.get(candidate.check.work.who, "technician")
        for answer in subject.knowledge.findings[about].answers:
            said = Answer(about, answer, speaker)
            now = msgspec.structs.replace(evidence.now, answers=(*evidence.now.answers, said))
            after = _beliefs(
                subject, msgspec.structs.replace(evidence, rounds=(*evidence.rounds[:-1], now))
            )
            if after is not None and not subject.alike(_first(after), first):
                probability = min(1.0, after.total / beliefs.total)
                best = _first(after)
                changes.append(Change(about, answer, probability, best, after.causes[best]))
    changes.sort(key=lambda c: -c.probability)
    return tuple(changes)


def _telling(subject: Subject, evidence: Evidence, beliefs: Beliefs) -> list[tuple[Candidate, str]]:
    """Open findings, those first whose answers part the likely causes most."""
    vector = np.array([beliefs.causes[c.id] for c in subject.network.causes])
    screen = Screen(subject, vector, {}, 0.0)
    asked: set[str] = set()
    scored: list[tuple[float, int, Candidate, str]] = []
    for candidate in candidates(subject, evidence, "technician", lambda _layout, _values: 1.0):
        for about in candidate.findings:
            if about in asked:
                continue
            asked.add(about)
            shown = screen.shown[subject.findings[about]]
            spread = float((vector * np.abs(shown - (vector @ shown) / vector.sum())).sum())
            scored.append((-spread, len(scored), candidate, about))
    return [(candidate, about) for _, _, candidate, about in sorted(scored)[:TRIED]]


def _first(beliefs: Beliefs) -> str:
    return max((c for c in beliefs.causes if c != UNLISTED), key=lambda c: (beliefs.causes[c], c))
