"""Sheets as PDF, by fpdf2."""

from collections.abc import Sequence
from datetime import UTC, datetime

from fpdf import FPDF
from fpdf.enums import RenderStyle

from faultnet.drawing.chart.drawn import Frame, Rule, Sheet, Text
from faultnet.writing.letters import FILES

FAMILY = "DejaVu"


def as_pdf(sheets: Sequence[Sheet], title: str, day: str) -> bytes:
    """Return sheets as one PDF; ``day`` is that of the chart, as ISO 8601 has it."""
    first = sheets[0]
    pages = FPDF(unit="pt", format=(first.width, first.height))
    pages.set_auto_page_break(auto=False)
    for bold, file in FILES.items():
        pages.add_font(FAMILY, "B" if bold else "", file)
    pages.set_title(title)
    pages.set_lang("en")
    pages.set_creator("faultnet")
    pages.set_creation_date(datetime.fromisoformat(day).replace(tzinfo=UTC))
    for sheet in sheets:
        pages.add_page()
        # Frames first, so that no black one covers its number.
        for thing in sorted(sheet.things, key=lambda each: isinstance(each, Text)):
            _draw(pages, thing)
    return bytes(pages.output())


def _draw(pages: FPDF, thing: Text | Rule | Frame) -> None:
    match thing:
        case Text():
            pages.set_font(FAMILY, "B" if thing.bold else "", thing.size)
            pages.set_text_color(255 if thing.white else 0)
            pages.text(thing.x, thing.y, thing.text)
        case Rule():
            pages.set_line_width(thing.width)
            pages.line(thing.x, thing.y, thing.to_x, thing.to_y)
        case Frame():
            pages.set_line_width(thing.line)
            style = RenderStyle.F if thing.solid else RenderStyle.D
            pages.set_fill_color(0)
            pages.rect(thing.x, thing.y, thing.width, thing.height, style)
