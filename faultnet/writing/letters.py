"""The letters that come along: how wide text is in them, and where its lines break."""

from functools import cache
from pathlib import Path

FONTS = Path(__file__).parent / "fonts"
"""DejaVu Sans: all that is printed is printed in it."""
FILES = {False: FONTS / "DejaVuSans.ttf", True: FONTS / "DejaVuSans-Bold.ttf"}
NO_LETTER = "\u25a1"
"""Stands for a character that the letters do not have."""


class Letters:
    """Widths of one cut of the letters, in shares of the size."""

    def __init__(self, *, bold: bool) -> None:
        from fontTools.ttLib import TTFont

        with TTFont(FILES[bold], lazy=True) as font:
            self._glyphs: dict[int, str] = font.getBestCmap()
            self._advances = dict(font["hmtx"].metrics)
            self._unit = font["head"].unitsPerEm

    def fit(self, text: str) -> str:
        """Return text with a box for each character that there is no letter for."""
        return "".join(c if ord(c) in self._glyphs else NO_LETTER for c in text)

    def width(self, text: str, size: float) -> float:
        """Return how wide text is at a size, both in points."""
        advances = (self._advances[self._glyphs[ord(c)]][0] for c in self.fit(text))
        return float(sum(advances) * size / self._unit)


@cache
def letters(*, bold: bool) -> Letters:
    """Return the letters of a cut, read once."""
    return Letters(bold=bold)


def broken(text: str, width: float, size: float, *, bold: bool = False) -> list[str]:
    """Return text in lines that are no wider; a word that is wider is broken as well."""
    cut = letters(bold=bold)
    lines: list[str] = []
    line = ""
    for word in cut.fit(text.replace("\n", " ")).split(" "):
        if not word:
            continue
        longer = f"{line} {word}" if line else word
        if cut.width(longer, size) <= width:
            line = longer
            continue
        lines += [line] if line else []
        *full, line = _pieces(word, width, size, cut)
        lines += full
    return [*lines, line] if line else lines


def _pieces(word: str, width: float, size: float, cut: Letters) -> list[str]:
    pieces = [""]
    for letter in word:
        if pieces[-1] and cut.width(pieces[-1] + letter, size) > width:
            pieces.append("")
        pieces[-1] += letter
    return pieces
