"""Every sheet can be read: nothing cut off, nothing over something else, large enough."""

import io
import re
import xml.etree.ElementTree as ET

import msgspec
import pypdf
import pytest

from faultnet.drawing.chart.as_pdf import as_pdf
from faultnet.drawing.chart.as_svg import as_svg
from faultnet.drawing.chart.drawn import Frame, Rule, Text
from faultnet.drawing.chart.flow import PAD, Block, Flow
from faultnet.drawing.chart.paper import Paper
from faultnet.drawing.chart.sheets import lay_out
from faultnet.drawing.chart.strips import ASCENT, DESCENT, Stack, divided, heading
from faultnet.writing.letters import broken, letters

PAPERS = [Paper(name, lying) for name in ("a4", "letter") for lying in (False, True)]
SMALLEST = 9.0
"""Points: what was asked for."""
PRINTERS = 12 / 25.4 * 72 - 0.01
HOLES = 16 / 25.4 * 72
"""Holes reach 15 mm in (12 mm and 6 mm wide: ISO 838, from memory)."""
ROUNDING = 0.02


@pytest.fixture(scope="module", params=PAPERS, ids=str)
def sheets(charted, request):
    return request.param, lay_out(charted("several"), request.param)


def area(thing):
    """Return left, top, right, bottom of a text."""
    width = letters(bold=thing.bold).width(thing.text, thing.size)
    top, bottom = thing.y - ASCENT * thing.size, thing.y + DESCENT * thing.size
    return thing.x, top, thing.x + width, bottom


def texts(sheet):
    return [thing for thing in sheet.things if isinstance(thing, Text) and thing.text]


def test_letters_are_large_enough(sheets):
    assert min(t.size for sheet in sheets[1] for t in texts(sheet)) >= SMALLEST


def test_nothing_leaves_the_paper_or_meets_the_holes(sheets):
    paper, drawn = sheets
    left, top = (PRINTERS, HOLES) if paper.lying else (HOLES, PRINTERS)
    for sheet in drawn:
        assert (sheet.width, sheet.height) == (paper.width, paper.height)
        for t in texts(sheet):
            x, y, right, bottom = area(t)
            assert left <= x
            assert top <= y + ROUNDING
            assert right <= sheet.width - PRINTERS + ROUNDING
            assert bottom <= sheet.height - PRINTERS + ROUNDING


def test_no_text_stands_over_another(sheets):
    for sheet in sheets[1]:
        placed = [(area(t), t) for t in texts(sheet)]
        for number, (a, one) in enumerate(placed):
            for b, other in placed[number + 1 :]:
                apart = (
                    a[2] <= b[0] + ROUNDING
                    or b[2] <= a[0] + ROUNDING
                    or a[3] <= b[1] + ROUNDING
                    or b[3] <= a[1] + ROUNDING
                )
                assert apart, (one.text, other.text)


def test_no_line_runs_through_text(sheets):
    for sheet in sheets[1]:
        rules = [thing for thing in sheet.things if isinstance(thing, Rule)]
        frames = [thing for thing in sheet.things if isinstance(thing, Frame) and not thing.solid]
        levels = [(r.x, r.to_x, r.y) for r in rules]
        levels += [(f.x, f.x + f.width, y) for f in frames for y in (f.y, f.y + f.height)]
        for t in texts(sheet):
            x, y, right, bottom = area(t)
            for start, end, level in levels:
                across = start < right and x < end
                assert not (across and y + ROUNDING < level < bottom - ROUNDING), t.text
            for frame in frames:
                inside = frame.y <= y and bottom <= frame.y + frame.height
                if inside and frame.x <= x <= frame.x + frame.width:
                    assert right <= frame.x + frame.width


def test_each_reference_names_the_sheet_that_its_box_begins_on(charted):
    chart = charted("several")
    drawn = lay_out(chart, Paper("letter"))
    begins = {}
    for number, sheet in enumerate(drawn, 1):
        for t in texts(sheet):
            if t.white:
                begins.setdefault(int(t.text), number)
    assert set(begins) == {box.number for box in chart.boxes}
    told = [t.text for sheet in drawn for t in texts(sheet)]
    there = re.findall(r"Go to (\d+) \(sheet (\d+)\)", "\n".join(told))
    back = re.findall(r"Comes from (\d+) \(sheet (\d+)\)", "\n".join(told))
    assert there
    assert back
    for box, sheet in there + back:
        assert begins[int(box)] == int(sheet)


def test_a_part_of_a_box_says_where_there_is_more_of_it(charted):
    drawn = lay_out(charted("several"), Paper("letter", lying=True))
    told = [[t.text for t in texts(sheet)] for sheet in drawn]
    continued = sum("continued" in line for page in told for line in page)
    more = [
        (number, line)
        for number, page in enumerate(told, 1)
        for line in page
        if line.startswith("More of it")
    ]
    assert len(more) == continued > 0
    for number, line in more:
        assert line in {"More of it beside this.", f"More of it on sheet {number + 1}."}


def test_danger_and_cistern_stand_first_and_date_and_version_on_every_sheet(charted):
    chart = charted("one")
    drawn = lay_out(chart, Paper())
    told = [[t.text for t in texts(sheet)] for sheet in drawn]
    first = " ".join(told[0])
    assert "DANGER FIRST" in first
    assert "Nobody enters a cistern" in first
    assert "STOP: Spray near the wiring." in first
    assert first.index("DANGER FIRST") < first.index("How to use")
    for page in told:
        assert any("2024-03-01" in line for line in page)
        assert any(chart.subject.knowledge.version[:12] in line for line in page)


def test_costs_cautions_proofs_and_power_are_told(charted):
    chart = charted("one")
    told = " ".join(t.text for sheet in lay_out(chart, Paper()) for t in texts(sheet))
    for wanted in (
        f"Following this chart: about {chart.expected:.0f}\u00a0min on average.",
        f"With faultnet live at every step: about {chart.live.expected:.0f}\u00a0min.",
        "Keep your hands off the shaft.",
        "The floor stays dry for ten minutes.",
        "power locked out",
        "Any other answer",
    ):
        assert wanted in told


def test_a_chart_without_a_check_still_prints(charted):
    chart = charted("one", 1)
    bare = msgspec.structs.replace(chart, boxes=(), end=chart.boxes[0].other)
    told = " ".join(t.text for sheet in lay_out(bare, Paper()) for t in texts(sheet))
    assert "No check is worth its minutes here" in told


def test_the_pdf_has_every_text_on_its_page(sheets):
    paper, drawn = sheets
    read = pypdf.PdfReader(io.BytesIO(as_pdf(drawn, "Weir Lane", "2024-03-01")))
    assert len(read.pages) == len(drawn)
    for page, sheet in zip(read.pages, drawn, strict=True):
        assert float(page.mediabox.width) == pytest.approx(paper.width, abs=0.01)
        assert float(page.mediabox.height) == pytest.approx(paper.height, abs=0.01)
        found = "".join(page.extract_text().split())
        for t in texts(sheet):
            assert "".join(t.text.split()) in found


def test_the_svg_has_every_text_and_is_black_and_white(charted):
    drawn = lay_out(charted("one"), Paper())
    for sheet, written in zip(drawn, as_svg(drawn, "Weir Lane & more"), strict=True):
        root = ET.fromstring(written)  # noqa: S314 written a line before
        found = [each.text for each in root.iter("{http://www.w3.org/2000/svg}text")]
        assert sorted(found) == sorted(t.text for t in sheet.things if isinstance(t, Text))
        inks = {each.get(ink) for each in root.iter() for ink in ("fill", "stroke")}
        assert inks <= {None, "none", "#000", "#fff"}


@pytest.mark.parametrize(
    "text", ["plain words that go on and on for a while", "x" * 90, "\U0001f6b0 tap"]
)
def test_lines_are_never_wider_than_their_column(text):
    lines = broken(text, 60.0, 9.5)
    assert all(letters(bold=False).width(line, 9.5) <= 60.0 for line in lines)
    kept = "".join(lines).replace(" ", "")
    assert kept == text.replace(" ", "").replace("\U0001f6b0", "\u25a1")


def test_a_strip_that_is_too_high_is_parted_between_lines():
    strip = Stack(100.0).say("word " * 200).strip()
    first, rest = divided(strip, 150.0)
    assert first.height == 150.0
    assert len(first.things) + len(rest.things) == len(strip.things)
    for part in (first, rest):
        assert all(
            area(t)[1] >= -ROUNDING and area(t)[3] <= part.height + ROUNDING for t in part.things
        )


def test_rows_that_are_higher_than_a_sheet_go_on_on_the_next():
    flow = Flow(Paper("letter", lying=True))
    width = flow.columns[0].width - 2 * PAD
    rows = tuple(Stack(width).say(f"{n} " * 2_000).strip() for n in range(2))
    flow.add(Block((heading(width, "A box").strip(),), rows, (heading(width, "More").strip(),)))
    count = sum(
        len(t.text.split())
        for things in flow.sheets
        for t in things
        if isinstance(t, Text) and t.text[0] in "01"
    )
    assert count == 4_000
    assert max(t.y for things in flow.sheets for t in things if isinstance(t, Text)) < (
        flow.columns[0].y + flow.columns[0].height
    )
