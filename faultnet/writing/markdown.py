"""A document as Markdown (CommonMark, with the usual tables)."""

import re
from html import escape

from faultnet.writing.document import (
    Aside,
    Block,
    Bullets,
    Document,
    Link,
    Paragraph,
    Picture,
    Piece,
    Section,
    Share,
    Table,
    Text,
)
from faultnet.writing.html import Place, here

_SIGNS = re.compile(r"([\\`*_{}\[\]<>#|~&])")
_LINE_START = re.compile(r"^(\d+)([.)])|^([-+=:])")


def markdown(document: Document, place: Place = here, pictures: str = "") -> str:
    """Return a document as Markdown; what people wrote is only ever text.

    ``place`` says where sections are that links lead to, ``pictures`` in which folder beside it
    pictures lie; without one they are left out.
    """
    parts = [f"# {_text(document.title)}"]
    parts.append("\n".join(f"- **{_text(n)}:** {_text(t)}" for n, t in document.facts))
    for section in document.sections:
        parts += _section(section, 2, place, pictures)
    return "\n\n".join(filter(None, parts)) + "\n"


def _section(section: Section, level: int, place: Place, pictures: str) -> list[str]:
    parts = [f'<a id="{escape(section.id)}"></a>'] if section.id else []
    parts.append(f"{'#' * min(level, 6)} {_text(section.title)}")
    parts += [_block(block, place, pictures) for block in section.blocks]
    for each in section.sections:
        parts += _section(each, level + 1, place, pictures)
    return parts


def _block(block: Block, place: Place, pictures: str) -> str:
    match block:
        case Paragraph(text, warning, _):
            told = _words(text, place)
            return f"**{told}**" if warning and told else told
        case Bullets(items, numbered):
            return "\n".join(
                f"{f'{k}.' if numbered else '-'} {_words(item, place)}"
                for k, item in enumerate(items, start=1)
            )
        case Table(head, rows):
            lines = [tuple(map(_text, head)), ("---",) * len(head)]
            lines += [tuple(_words(cell, place) for cell in row) for row in rows]
            return "\n".join(map(_row, lines))
        case Picture(name, _, about):
            return f"![{_text(about)}]({pictures}/{name}.svg)" if pictures else ""


def _words(text: Text, place: Place) -> str:
    if isinstance(text, str):
        return _text(text)
    first, rest = text[:1], text[1:]
    return "".join(
        [*(_piece(p, place, start=True) for p in first), *(_piece(p, place) for p in rest)]
    )


def _piece(piece: Piece, place: Place, *, start: bool = False) -> str:
    match piece:
        case Link(text, to):
            return f"[{_text(text)}]({place(to)})"
        case Aside(inner):
            return f"({''.join(_piece(each, place) for each in inner)})"
        case Share():
            return ""
        case _:
            return _text(piece) if start else _SIGNS.sub(r"\\\1", piece)


def _row(cells: tuple[str, ...]) -> str:
    return f"| {' | '.join(cells)} |"


def _text(text: str) -> str:
    escaped = _SIGNS.sub(r"\\\1", text)
    return _LINE_START.sub(lambda m: f"{m[1]}\\{m[2]}" if m[1] else f"\\{m[3]}", escaped)
