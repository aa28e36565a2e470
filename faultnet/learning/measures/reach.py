"""Evidence that can be ranked exactly: where it is too much at once, answers are left out."""

from faultnet.advice.grounds import grounds
from faultnet.advice.subject import Subject
from faultnet.inference.engine import TooLargeError
from faultnet.learning.lighter import lighter
from faultnet.model.evidence import Evidence

CELLS = 2**23
"""Cells of an exact answer beyond which an answer is left out: some seconds of work."""


def in_reach(subject: Subject, known: Evidence) -> tuple[Evidence, int]:
    """Return evidence that can be ranked, and how many answers were left out, dearest first.

    ``rank`` asks for the same at a case like that. Raises ``TooLargeError`` where no answer is
    left to leave out, and ``UnknownNameError`` and ``UnfitReadingError``.
    """
    left = 0
    while True:
        try:
            grounds(subject, known).refuse_beyond(CELLS)
        except TooLargeError as error:
            less = lighter(known, (), _dearest(known, error))
            if less is None:
                raise
            known, left = less, left + 1
        else:
            return known, left


def _dearest(known: Evidence, error: TooLargeError) -> set[tuple[int, str]]:
    said = [answer.finding for answer in known.now.answers]
    dearest = (name for name in error.leave_out if name in said)
    return {(len(known.rounds) - 1, name) for name in [next(dearest, "")]}
