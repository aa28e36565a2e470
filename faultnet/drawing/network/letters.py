"""How wide a text of a picture is, so that none runs into another; and texts in lines that fit."""

from faultnet.writing.letters import broken, letters

NARROW = 0.9
"""The letters drawn are the condensed ones, nine tenths as wide as those that come along."""


def width(text: str, size: float) -> float:
    """Return the width of a text in letters of a size, in the unit of the size."""
    return letters(bold=False).width(text, size) * NARROW


def lines(text: str, size: float, most: float) -> tuple[str, ...]:
    """Return a text in lines no wider than ``most``; a longer word is broken."""
    return tuple(broken(text, most / NARROW, size)) or ("",)
