"""Texts of people made fit for paper: one line, nothing hidden, not without end."""

import unicodedata

from msgspec.structs import replace

from faultnet.writing.document import (
    Block,
    Bullets,
    Document,
    Paragraph,
    Picture,
    Piece,
    Section,
    Table,
    Text,
)

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
        tuple(map(_section, document.sections)),
    )


def _section(section: Section) -> Section:
    blocks, below = tuple(map(_block, section.blocks)), tuple(map(_section, section.sections))
    return replace(section, title=_short(section.title), blocks=blocks, sections=below)


def _short(text: str) -> str:
    return clean(text, LONGEST_CELL)


def _block(block: Block) -> Block:
    match block:
        case Paragraph(text, warning, danger):
            return Paragraph(_words(text, LONGEST), warning, danger)
        case Bullets(items, numbered):
            return Bullets(tuple(_words(item, LONGEST) for item in items), numbered)
        case Table(head, rows):
            cells = tuple(tuple(_words(cell, LONGEST_CELL) for cell in row) for row in rows)
            return Table(tuple(map(_short, head)), cells)
        case Picture():
            return block


def _words(text: Text, most: int) -> Text:
    if isinstance(text, str):
        return clean(text, most)
    return tuple(_piece(piece, most) for piece in text)


def _piece(piece: Piece, most: int) -> Piece:
    if not isinstance(piece, str):
        return piece
    before, after = piece[:1].isspace(), piece[1:][-1:].isspace()
    return f"{' ' * before}{clean(piece, most)}{' ' * after}"
