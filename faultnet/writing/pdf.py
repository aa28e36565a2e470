"""A document as PDF, by fpdf2, in letters that come along."""

from collections.abc import Callable

from fpdf import FPDF
from fpdf.enums import MethodReturnValue, TableBordersLayout
from fpdf.fonts import FontFace, TTFFont
from fpdf.util import Padding

from faultnet.writing.document import (
    Block,
    Bullets,
    Document,
    Paragraph,
    Picture,
    Section,
    Table,
    plain_text,
)
from faultnet.writing.letters import FONTS, NO_LETTER

PAPERS = ("a4", "letter")

_FAMILY = "DejaVu"
_SIZE = 9.5
_LINE = 4.9
_MARGIN = 18
_BULLET = 5
_EMPTY = 9.0
_RULE = 0.15
"""Points of type, then millimetres; the last two are a row filled in by hand, and a rule."""


class _Paper(FPDF):
    """Pages with their number at the foot."""

    def __init__(self, paper: str, title: str) -> None:
        super().__init__(format=paper)
        self._title = title
        self.add_font(_FAMILY, "", FONTS / "DejaVuSans.ttf")
        self.add_font(_FAMILY, "B", FONTS / "DejaVuSans-Bold.ttf")
        self.set_margin(_MARGIN)
        self.set_auto_page_break(auto=True, margin=_MARGIN + 2)
        self.set_title(title)
        self.set_lang("en")
        self.set_creator("faultnet")

    def footer(self) -> None:
        """Write the title and the number of the page."""
        self.set_y(-_MARGIN + 4)
        self.set_font(_FAMILY, "", 7.5)
        self.cell(0, 4, f"{self._title}, page {self.page_no()} of {{nb}}", align="C")


def pdf(document: Document, paper: str = "a4") -> bytes:
    """Return a document as PDF on a4 or letter."""
    pages = _Paper(paper, document.title)
    letters = pages.fonts[_FAMILY.lower()]
    known = letters.cmap if isinstance(letters, TTFFont) else {}
    lost: set[str] = set()

    def fit(text: str) -> str:
        missing = {c for c in text if ord(c) not in known}
        lost.update(missing)
        return "".join(NO_LETTER if c in missing else c for c in text)

    pages.add_page()
    pages.set_font(_FAMILY, "B", 17)
    pages.multi_cell(0, 9, fit(document.title), align="L", new_x="LMARGIN", new_y="NEXT")
    pages.ln(1)
    _facts(pages, document.facts, fit)
    for section in document.sections:
        _section(pages, section, fit)
    if lost:
        pages.ln(3)
        _text(pages, f"{NO_LETTER} stands for a character that this print has no letter for.")
    return bytes(pages.output())


def _section(pages: _Paper, section: Section, fit: Callable[[str], str]) -> None:
    _heading(pages, fit(section.title))
    for block in section.blocks:
        _block(pages, block, fit)
    for each in section.sections:
        _section(pages, each, fit)


def _heading(pages: _Paper, title: str) -> None:
    if pages.will_page_break(8 + 4 * _LINE):
        pages.add_page()
    else:
        pages.ln(4)
    pages.set_font(_FAMILY, "B", 11)
    pages.multi_cell(0, 6.5, title, align="L", border="B", new_x="LMARGIN", new_y="NEXT")
    pages.ln(1.5)


def _block(pages: _Paper, block: Block, fit: Callable[[str], str]) -> None:
    match block:
        case Paragraph(text, warning, _):
            _text(pages, fit(plain_text(text)), warning=warning)
        case Bullets(items, numbered):
            for number, item in enumerate(items, start=1):
                pages.set_font(_FAMILY, "", _SIZE)
                pages.cell(_BULLET, _LINE, f"{number}." if numbered else "•", align="C")
                told = fit(plain_text(item))
                pages.multi_cell(0, _LINE, told, align="L", new_x="LMARGIN", new_y="NEXT")
                pages.ln(0.6)
        case Table():
            _table(pages, block, fit)
        case Picture(_, _, about):
            _text(pages, fit(about))
    pages.ln(1.2)


def _text(pages: _Paper, text: str, *, warning: bool = False) -> None:
    pages.set_font(_FAMILY, "B" if warning else "", _SIZE)

    def cell(*, measure: bool) -> float:
        high = pages.multi_cell(
            0,
            _LINE,
            text,
            align="L",
            border=1 if warning else 0,
            padding=Padding(1.5, 1.5, 1.5, 1.5) if warning else 0,
            new_x="LMARGIN",
            new_y="NEXT",
            dry_run=measure,
            output=MethodReturnValue.HEIGHT,
        )
        assert isinstance(high, float)
        return high

    if warning and pages.will_page_break(cell(measure=True)):
        pages.add_page()
    cell(measure=False)


def _facts(pages: _Paper, facts: tuple[tuple[str, str], ...], fit: Callable[[str], str]) -> None:
    pages.set_font(_FAMILY, "", _SIZE)
    with pages.table(
        borders_layout=TableBordersLayout.NONE,
        col_widths=(1, 3),
        first_row_as_headings=False,
        line_height=_LINE,
        text_align="LEFT",
        v_align="TOP",
        padding=(0.3, 0),
    ) as table:
        for name, text in facts:
            row = table.row()
            row.cell(fit(name), style=FontFace(emphasis="BOLD"))
            row.cell(fit(text))


def _table(pages: _Paper, shown: Table, fit: Callable[[str], str]) -> None:
    pages.set_font(_FAMILY, "", _SIZE - 0.5)
    pages.set_line_width(_RULE)
    with pages.table(
        col_widths=_widths(shown),
        borders_layout=TableBordersLayout.HORIZONTAL_LINES,
        headings_style=FontFace(emphasis="BOLD"),
        line_height=_LINE,
        text_align="LEFT",
        v_align="TOP",
        padding=(0.8, 1.5, 0.8, 0),
    ) as table:
        head = table.row()
        for name in shown.head:
            head.cell(fit(name))
        for cells in shown.rows:
            row = table.row(min_height=_EMPTY if not all(cells) else None)
            for cell in cells:
                row.cell(fit(plain_text(cell)))
    pages.line(pages.l_margin, pages.get_y(), pages.w - pages.r_margin, pages.get_y())
    pages.ln(1)


def _widths(shown: Table) -> list[float]:
    """Return the shares of columns: more for longer texts, but not in proportion."""
    columns = zip(shown.head, *shown.rows, strict=True)
    longest = [max(len(plain_text(cell)) for cell in column) for column in columns]
    return [min(each, 150) ** 0.5 + 1.0 for each in longest]
