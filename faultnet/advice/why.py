"""Why a cause stands where it stands: what each answer did, and what would tip it."""

import msgspec
import numpy as np

from faultnet.advice.candidates import SPEAKER, Candidate, candidates
from faultnet.advice.conflict import Said, conflict
from faultnet.advice.dangers import DangerMet, dangers_met
from faultnet.advice.lines import Line, lines_of
from faultnet.advice.pieces import only, pieces_of
from faultnet.advice.ranking import Beliefs, beliefs_of
from faultnet.advice.screen import Screen
from faultnet.advice.subject import Subject, UnknownNameError
from faultnet.model.evidence import Answer, Evidence
from faultnet.network.build import UNLISTED

TRIED = 5
"""Further answers tried for what would change the ranking."""


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


def why(subject: Subject, evidence: Evidence, cause: str | None = None) -> Why:
    """Return why a cause stands where it stands; the likeliest one when none is named.

    Raises ``UnknownNameError``, ``UnfitReadingError`` and ``TooLargeError``.
    """
    if cause is not None and cause not in subject.causes:
        raise UnknownNameError("cause", cause, list(subject.causes))
    dangers = dangers_met(subject, evidence)
    beliefs = beliefs_of(subject, evidence)
    if beliefs is None:
        found = conflict(subject, evidence)
        return Why(subject.system.id, cause or "", "", 0.0, 0.0, (), (), dangers, found)
    chosen = cause or max(
        (c for c in beliefs.causes if c != UNLISTED), key=lambda c: (beliefs.causes[c], c)
    )
    pieces = pieces_of(evidence)
    steps = range(len(pieces) + 1)
    chances = [_chance(subject, only(evidence, pieces[:k]), chosen) for k in steps]
    moves = tuple(
        Move(
            piece.about,
            piece.answer,
            _chance(subject, only(evidence, [p for p in pieces if p is not piece]), chosen),
            chances[k],
            chances[k + 1],
            lines_of(subject, chosen, piece.about),
        )
        for k, piece in enumerate(pieces)
    )
    changes = _changes(subject, evidence, beliefs)
    title = subject.title(chosen)
    after = beliefs.causes[chosen]
    return Why(subject.system.id, chosen, title, chances[0], after, moves, changes, dangers)


def _chance(subject: Subject, evidence: Evidence, cause: str) -> float:
    beliefs = beliefs_of(subject, evidence)
    return 0.0 if beliefs is None else beliefs.causes[cause]


def _changes(subject: Subject, evidence: Evidence, beliefs: Beliefs) -> tuple[Change, ...]:
    """Answers to the most telling open questions that would put another cause first."""
    first = _first(beliefs)
    changes = []
    for candidate, about in _telling(subject, evidence, beliefs):
        speaker = SPEAKER.get(candidate.check.work.who, "technician")
        for answer in subject.knowledge.findings[about].answers:
            said = Answer(about, answer, speaker)
            now = msgspec.structs.replace(evidence.now, answers=(*evidence.now.answers, said))
            after = beliefs_of(
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
