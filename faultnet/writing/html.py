"""A document as one HTML page that needs nothing else, on screen and on paper."""

from collections.abc import Callable
from html import escape
from typing import TypeAlias

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
    plain_text,
)

Place: TypeAlias = Callable[[str], str]
"""The address of the section of an id."""

STYLE = """
:root { color-scheme: light; }
body { max-width: 44rem; margin: 2rem auto; padding: 0 1rem; color: #000; background: #fff;
  font: 1rem/1.45 Georgia, "Times New Roman", serif; overflow-wrap: anywhere; }
h1 { font-size: 1.7rem; margin: 0 0 .6rem; }
h2 { font-size: 1.15rem; margin: 1.6rem 0 .4rem; border-bottom: 1px solid #000; }
p, ul, table { margin: .5rem 0; }
ul { padding-left: 1.3rem; }
.warning { border: 2px solid #000; padding: .5rem .7rem; font-weight: bold; }
.danger { border-width: 5px; }
table { width: 100%; border-collapse: collapse; }
th, td { text-align: start; vertical-align: top; padding: .25rem .6rem .25rem 0;
  border-bottom: 1px solid #999; }
.short { white-space: nowrap; }
td:empty { height: 1.8rem; }
dl { display: grid; grid-template-columns: max-content 1fr; gap: .15rem 1rem; margin: 0; }
dt { font-weight: bold; }
dd { margin: 0; }
@media print {
  @page { margin: 18mm 16mm; }
  body { max-width: none; margin: 0; padding: 0; font-size: 10.5pt; }
  h2 { break-after: avoid; }
  tr, li, .warning { break-inside: avoid; }
  thead { display: table-header-group; }
}
"""
"""The paper is whatever lies in the printer, A4 or Letter: no size is named."""

DEEPEST = 6
"""HTML has no smaller headings."""

BAR = (
    '<svg class="share" aria-hidden="true" focusable="false">'
    '<rect class="whole" width="100%" height="100%"/>'
    '<rect class="part" width="{share:.1f}%" height="100%"/></svg>'
)
"""A share, drawn so that it prints as well."""

SHORT = 12
"""Characters of a cell that is not broken: a date, a word."""


def here(name: str) -> str:
    """Return the address of a section on the same page."""
    return f"#{name}"


def html(document: Document, style: str = STYLE, place: Place = here) -> str:
    """Return a document as HTML; what people wrote is only ever text.

    ``style`` stands in the page; ``place`` says where sections are that links lead to.
    """
    facts = "\n".join(
        f"<dt>{escape(name)}</dt><dd dir=auto>{escape(text)}</dd>" for name, text in document.facts
    )
    body = "\n".join(section(each, 2, place) for each in document.sections)
    title = escape(document.title)
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{title}</title>\n<style>{style}</style>\n</head>\n<body>\n<main>\n"
        f"<h1>{title}</h1>\n<dl>\n{facts}\n</dl>\n{body}\n</main>\n</body>\n</html>\n"
    )


def section(told: Section, level: int, place: Place = here) -> str:
    """Return a section with its heading, which stands at a level from 2 to 6, and all below it."""
    name = f' id="{escape(told.id)}"' if told.id else ""
    kind = " class=page" if told.page else ""
    head = f"h{min(level, DEEPEST)}"
    parts = [
        f"<section{name}{kind}>",
        f"<{head}>{escape(told.title)}</{head}>",
        *(block(each, place) for each in told.blocks),
        *(section(each, level + 1, place) for each in told.sections),
        "</section>",
    ]
    return "\n".join(parts)


def block(told: Block, place: Place = here) -> str:
    """Return a paragraph, a list, a table or a picture."""
    match told:
        case Paragraph(text, warning, danger):
            kind = ' class="warning danger"' if danger else " class=warning" if warning else ""
            return f"<p{kind} dir=auto>{words(text, place)}</p>"
        case Bullets(items, numbered):
            tag = "ol" if numbered else "ul"
            lines = "\n".join(f"<li dir=auto>{words(item, place)}</li>" for item in items)
            return f"<{tag}>\n{lines}\n</{tag}>"
        case Table(head, rows):
            heads = "".join(f"<th scope=col>{escape(cell)}</th>" for cell in head)
            lines = "\n".join(
                f"<tr>{''.join(_cell(cell, place) for cell in row)}</tr>" for row in rows
            )
            return f"<table>\n<thead><tr>{heads}</tr></thead>\n<tbody>\n{lines}\n</tbody>\n</table>"
        case Picture(_, svg, about):
            # Wider than a phone: it is moved within its frame, which a keyboard reaches as well.
            frame = f'class=picture role=group tabindex=0 aria-label="{escape(about)}"'
            return f"<div {frame}>\n{svg}</div>"


def words(text: Text, place: Place = here) -> str:
    """Return words with their links."""
    if isinstance(text, str):
        return escape(text)
    return "".join(_piece(piece, place) for piece in text)


def _piece(piece: Piece, place: Place) -> str:
    match piece:
        case Link(text, to):
            return f'<a href="{escape(place(to))}">{escape(text)}</a>'
        case Aside(inner):
            return f"<small class=from>{''.join(_piece(each, place) for each in inner)}</small>"
        case Share(share):
            return BAR.format(share=max(0.0, min(share, 1.0)) * 100.0)
        case _:
            return escape(piece)


def _cell(text: Text, place: Place) -> str:
    short = " class=short" if 0 < len(plain_text(text)) <= SHORT else ""
    return f"<td{short} dir=auto>{words(text, place)}</td>"
