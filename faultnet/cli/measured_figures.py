"""Figures of measures as they are said."""

from faultnet.cli.screen import Screen
from faultnet.learning.fit.tally import WORDS
from faultnet.shapes.figures import MeanShape, ShareShape
from faultnet.shapes.measure import AsideShape

NONE = "-"
NAMED = 3
"""Cases set aside that are named for each reason."""
MORE_WORDS = {
    "too-large": "too much for an exact ranking, whatever is left out",
    "other-system": "about another system",
}
"""What the cases are that the measures set aside themselves."""
LONGEST = 200
"""Letters of such a reason."""


def share(found: ShareShape) -> str:
    """Return a share with its range, in per cent."""
    if found.value is None or found.low is None or found.high is None:
        return NONE
    return f"{found.value * 100:.0f} % ({found.low * 100:.0f} to {found.high * 100:.0f})"


def mean(found: MeanShape, digits: int = 2) -> str:
    """Return a mean with its range."""
    if found.value is None:
        return NONE
    if found.low is None or found.high is None:
        return f"{found.value:.{digits}f}"
    return f"{found.value:.{digits}f} ({found.low:.{digits}f} to {found.high:.{digits}f})"


def bare(found: MeanShape, digits: int = 2) -> str:
    """Return a mean alone."""
    return NONE if found.value is None else f"{found.value:.{digits}f}"


def percent(value: float | None, digits: int = 0) -> str:
    """Return a share or a chance in per cent."""
    return NONE if value is None else f"{value * 100:.{digits}f} %"


def set_aside(screen: Screen, found: AsideShape) -> list[str]:
    """Return what was not used, by reason, as lines."""
    lines: list[str] = []
    words = {**WORDS, **MORE_WORDS}
    for code, count in found.counts.items():
        lines += screen.wrap(f"{words.get(code, code)} ({count})", 2)
        named = [each for each in found.named if each.code == code]
        for each in named[:NAMED]:
            told = screen.cut(f"{each.place}: {each.reason}", LONGEST)
            lines += map(screen.dim, screen.wrap(told, 6, "    - "))
        if count > NAMED:
            lines += map(screen.dim, screen.wrap(f"and {count - NAMED} more; --json names more", 6))
    return lines
