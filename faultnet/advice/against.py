"""One cause against another: which answers, and which authored lines, speak for which."""

from math import inf, log

import msgspec

from faultnet.advice.lines import Line, how_common, lines_of
from faultnet.advice.pieces import only, pieces_of
from faultnet.advice.ranking import Beliefs, beliefs_of
from faultnet.advice.subject import Subject
from faultnet.inference.engine import TooLargeError
from faultnet.model.evidence import Evidence


class Push(msgspec.Struct, frozen=True):
    """What one piece of evidence does between two causes, with the authored lines behind it.

    ``factor`` is how many times the chance of the one, as a share of that of the other,
    grows by it, all other answers kept: below one it speaks for the other. It is infinite
    where the other is impossible with it and possible without. ``BEFORE`` is what stands between
    the two before anything is said; ``EARLIER`` the same after all rounds but the open one.
    """

    about: str
    answer: str
    factor: float
    lines: tuple[Line, ...]


class Against(msgspec.Struct, frozen=True):
    """One cause against another: the pushes for the one, then those for the other.

    Of each side the strongest comes first. What moves nothing is left out.
    """

    one: str
    other: str
    pushes: tuple[Push, ...]


BEFORE = "before anything is said"
EARLIER = "the rounds before"
MOVES = 0.02
"""A push that changes less than this share is not told."""


def weigh_against(subject: Subject, evidence: Evidence, one: str, other: str) -> Against | None:
    """Return what speaks for one cause and against another; None where it cannot be weighed.

    Raises ``UnknownNameError`` and ``UnfitReadingError``.
    """
    try:
        return Against(one, other, _pushes(subject, evidence, one, other))
    except TooLargeError:
        return None


def _pushes(subject: Subject, evidence: Evidence, one: str, other: str) -> tuple[Push, ...]:
    pieces = pieces_of(evidence)
    beliefs = beliefs_of(subject, evidence)
    start = _share(beliefs_of(subject, only(evidence, [])), one, other)
    lines = (*how_common(subject, one), *how_common(subject, other))
    pushes = [Push(EARLIER if len(evidence.rounds) > 1 else BEFORE, "", start, lines)]
    for piece in pieces:
        without = beliefs_of(subject, only(evidence, [p for p in pieces if p is not piece]))
        factor = _ratio(_share(beliefs, one, other), _share(without, one, other))
        behind = (*lines_of(subject, one, piece.about), *lines_of(subject, other, piece.about))
        pushes.append(Push(piece.about, piece.answer, factor, tuple(dict.fromkeys(behind))))
    moving = [p for p in pushes if not 1.0 - MOVES < p.factor < 1.0 + MOVES]
    return tuple(sorted(moving, key=lambda p: (p.factor < 1.0, -abs(_log(p.factor)))))


def _share(beliefs: Beliefs | None, one: str, other: str) -> float:
    """The chance of one cause as a share of that of another."""
    if beliefs is None:
        return 1.0
    return _ratio(beliefs.causes[one], beliefs.causes[other])


def _ratio(above: float, below: float) -> float:
    if above == below:
        return 1.0
    return above / below if below else inf


def _log(factor: float) -> float:
    return log(factor) if factor else -inf
