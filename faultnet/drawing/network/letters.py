"""How wide a text is, so that none runs into another; and texts in lines that fit."""

from functools import cache
from typing import Any

from faultnet.writing.pdf import FONTS

NARROW = 0.9
"""The letters drawn are the condensed ones, nine tenths as wide as those that come along."""


def width(text: str, size: float) -> float:
    """Return the width of a text in letters of a size, in the unit of the size."""
    widths, em = _widths()
    return sum(widths.get(ord(letter), em * 0.6) for letter in text) / em * size * NARROW


def lines(text: str, size: float, most: float) -> tuple[str, ...]:
    """Return a text in lines no wider than ``most``; a longer word is broken."""
    found, line = list[str](), ""
    for word in [piece for whole in text.split() for piece in _pieces(whole, size, most)]:
        longer = f"{line} {word}" if line else word
        if line and width(longer, size) > most:
            found.append(line)
            line = word
        else:
            line = longer
    return (*found, line)


def _pieces(word: str, size: float, most: float) -> list[str]:
    if width(word, size) <= most:
        return [word]
    fits = max(1, int(len(word) * most / width(word, size)) - 1)
    return [word[at : at + fits] for at in range(0, len(word), fits)]


@cache
def _widths() -> tuple[dict[int, float], float]:
    """Return the advance of each letter of DejaVu Sans, and of the em, in units of the font."""
    from fontTools.ttLib import TTFont

    font: Any
    with TTFont(FONTS / "DejaVuSans.ttf", lazy=True) as font:
        advances, em = font["hmtx"].metrics, float(font["head"].unitsPerEm)
        return {code: advances[name][0] for code, name in font.getBestCmap().items()}, em
