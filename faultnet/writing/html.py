"""A document as one HTML page that needs nothing else, on screen and on paper."""

from html import escape

from faultnet.writing.document import Block, Bullets, Document, Paragraph, Table

STYLE = """
:root { color-scheme: light; }
body { max-width: 44rem; margin: 2rem auto; padding: 0 1rem; color: #000; background: #fff;
  font: 1rem/1.45 Georgia, "Times New Roman", serif; overflow-wrap: anywhere; }
h1 { font-size: 1.7rem; margin: 0 0 .6rem; }
h2 { font-size: 1.15rem; margin: 1.6rem 0 .4rem; border-bottom: 1px solid #000; }
p, ul, table { margin: .5rem 0; }
ul { padding-left: 1.3rem; }
.warning { border: 2px solid #000; padding: .5rem .7rem; font-weight: bold; }
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

SHORT = 12
"""Characters of a cell that is not broken: a date, a word."""


def html(document: Document) -> str:
    """Return a document as HTML; what people wrote is only ever text."""
    facts = "\n".join(
        f"<dt>{escape(name)}</dt><dd dir=auto>{escape(text)}</dd>" for name, text in document.facts
    )
    body = "\n".join(
        f"<section>\n<h2>{escape(section.title)}</h2>\n"
        + "\n".join(map(_block, section.blocks))
        + "\n</section>"
        for section in document.sections
    )
    title = escape(document.title)
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{title}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n<main>\n"
        f"<h1>{title}</h1>\n<dl>\n{facts}\n</dl>\n{body}\n</main>\n</body>\n</html>\n"
    )


def _block(block: Block) -> str:
    match block:
        case Paragraph(text, warning):
            kind = " class=warning" if warning else ""
            return f"<p{kind} dir=auto>{escape(text)}</p>"
        case Bullets(items):
            told = "\n".join(f"<li dir=auto>{escape(item)}</li>" for item in items)
            return f"<ul>\n{told}\n</ul>"
        case Table(head, rows):
            heads = "".join(f"<th scope=col>{escape(cell)}</th>" for cell in head)
            told = "\n".join(f"<tr>{''.join(map(_cell, row))}</tr>" for row in rows)
            return f"<table>\n<thead><tr>{heads}</tr></thead>\n<tbody>\n{told}\n</tbody>\n</table>"


def _cell(text: str) -> str:
    short = " class=short" if 0 < len(text) <= SHORT else ""
    return f"<td{short} dir=auto>{escape(text)}</td>"
