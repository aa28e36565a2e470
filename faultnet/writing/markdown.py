"""A document as Markdown (CommonMark, with the usual tables)."""

import re

from faultnet.writing.document import Block, Bullets, Document, Paragraph, Table

_SIGNS = re.compile(r"([\\`*_{}\[\]<>#|~&])")
_LINE_START = re.compile(r"^(\d+)([.)])|^([-+=:])")


def markdown(document: Document) -> str:
    """Return a document as Markdown; what people wrote is only ever text."""
    parts = [f"# {_text(document.title)}"]
    parts.append("\n".join(f"- **{_text(n)}:** {_text(t)}" for n, t in document.facts))
    for section in document.sections:
        parts.append(f"## {_text(section.title)}")
        parts += [_block(block) for block in section.blocks]
    return "\n\n".join(filter(None, parts)) + "\n"


def _block(block: Block) -> str:
    match block:
        case Paragraph(text, warning):
            return f"**{_text(text)}**" if warning and text else _text(text)
        case Bullets(items):
            return "\n".join(f"- {_text(item)}" for item in items)
        case Table(head, rows):
            lines = [head, ("---",) * len(head)]
            told = [_row(tuple(map(_text, lines[0]))), _row(lines[1])]
            return "\n".join([*told, *(_row(tuple(map(_text, row))) for row in rows)])


def _row(cells: tuple[str, ...]) -> str:
    return f"| {' | '.join(cells)} |"


def _text(text: str) -> str:
    escaped = _SIGNS.sub(r"\\\1", text)
    return _LINE_START.sub(lambda m: f"{m[1]}\\{m[2]}" if m[1] else f"\\{m[3]}", escaped)
