"""Handing a call over to whoever drives."""

from faultnet.cases.events import Passed
from faultnet.visit.progress import Progress

HANDED_OVER = Passed("call-handed-over")
"""The dispatcher has done their part; a technician is waited for."""


def handed_over(at: Progress) -> bool:
    """Whether a call was handed over, or got as far as its outcome."""
    return HANDED_OVER.stage in at.passed or bool(at.shown)
