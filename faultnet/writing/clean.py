"""Texts of people made fit for paper: one line, nothing hidden, not without end."""

import unicodedata

from faultnet.writing.document import Block, Bullets, Document, Paragraph, Section, Table

LONGEST = 2000
"""Characters of a paragraph or an item."""

LONGEST_CELL = 300
"""Characters of a cell of a table, a fact or a title."""

_NOT_SHOWN = {"Cf": "", "Cs": "?", "Co": "?", "Cn": "?", "Cc": " ", "Zl": " ", "Zp": " "}
"""Kinds of characters that are steering signs or nothing at all, and what stands for them."""


def clean(text: str, most: int = LONGEST) -> str:
    """Return text on one line, without signs that steer, cut where it is too long."""
    some = text[: 4 * most]
    shown = "".join(_NOT_SHOWN.get(unicodedata.category(c), c) for c in some)
    line = " ".join(shown.split())
    if len(line) <= most and len(some) == len(text):
        return line
    return f"{line[:most]} … (cut here; the whole text has {len(text)} characters)"


def cleaned(document: Document) -> Document:
    """Return a document whose texts are clean."""
    return Document(
        _short(document.title),
        document.copy,
        tuple((_short(name), _short(text)) for name, text in document.facts),
        tuple(Section(_short(s.title), tuple(map(_block, s.blocks))) for s in document.sections),
    )


def _short(text: str) -> str:
    return clean(text, LONGEST_CELL)


def _block(block: Block) -> Block:
    match block:
        case Paragraph(text, warning):
            return Paragraph(clean(text), warning)
        case Bullets(items):
            return Bullets(tuple(map(clean, items)))
        case Table(head, rows):
            return Table(tuple(map(_short, head)), tuple(tuple(map(_short, row)) for row in rows))
