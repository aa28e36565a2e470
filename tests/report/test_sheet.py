"""The closing sheet in the report: what is written stands there, the rest is for the pen."""

import io
from datetime import date

import pytest

from faultnet.cases import events as e
from faultnet.writing.document import Paragraph, Table
from faultnet.writing.html import html
from faultnet.writing.markdown import markdown
from faultnet.writing.pdf import pdf
from tests.report.conftest import called, mends
from tests.report.reading import Paper

pypdf = pytest.importorskip("pypdf")

WATER = "Disinfection and drinking water"
LINES = (
    e.Fitted("foot-valve", 2, "K-4471"),
    e.Fitted(text="union 1 in"),
    e.Disinfected("bleach 6 %", "119 fl oz", 1440.0),
    e.SafetyFinding("Lid is a loose board", declined=True),
    e.SafetyFinding("Wire bare at the switch."),
    e.Watch("The gauge after a quiet night"),
    e.NextDue("Next service", date(2027, 3, 1)),
    e.NextDue("Water sample", date(2026, 3, 11)),
    e.Licence("LIC 204"),
    e.Signed("Orla Finn", "customer"),
    e.Signed("Bruno Reed", "technician"),
)


def closed(*lines):
    """Return the entries of a mended case with lines on its sheet."""
    _, bruno = called()
    mends(bruno)
    bruno.writes(*lines)
    return bruno.seen


def section(paper, title):
    return next(s for s in paper.document.sections if s.title == title)


@pytest.mark.parametrize("audience", ["customer", "office"])
def test_every_line_stands_in_plain_words(small, audience):
    paper = Paper(small, closed(*LINES), None, audience)
    parts = paper["Work and parts"]
    assert "foot valve | 2 | K-4471" in parts
    assert "union 1 in | 1 | " in parts
    assert "bleach 6 % | 119 fl oz | 24 h of contact | 2026-03-04 | " in paper[WATER]
    assert "coliform" in paper[WATER][0]
    safety = section(paper, "Safety")
    warned = [b.text for b in safety.blocks if isinstance(b, Paragraph) and b.warning]
    assert warned == [
        "Found unsafe: Lid is a loose board. The customer declined to have it mended.",
        "Found unsafe: Wire bare at the switch.",
    ]
    assert "The gauge after a quiet night" in paper["What to watch"]
    assert paper["Next due"][-2:] == ["Water sample | 2026-03-11", "Next service | 2027-03-01"]
    assert "Licence number: LIC 204" in paper["Signed"]
    assert any(line.startswith("Customer | Orla Finn | 2026-03-04 ") for line in paper["Signed"])
    assert any(line.startswith("Technician | Bruno Reed | ") for line in paper["Signed"])


@pytest.mark.parametrize("audience", ["customer", "office"])
def test_every_line_stands_on_every_paper(small, audience):
    document = Paper(small, closed(*LINES), None, audience).document
    pages = pypdf.PdfReader(io.BytesIO(pdf(document))).pages
    squeezed = "".join("".join(page.extract_text() for page in pages).split())
    for text in ("K-4471", "119 fl oz", "loose board", "quiet night", "2027-03-01", "LIC 204"):
        assert text in html(document)
        assert text in markdown(document).replace("\\", "")
        assert text.replace(" ", "") in squeezed


def for_the_pen(paper, title):
    """Return the rows of a section that have an empty cell."""
    tables = [b for b in section(paper, title).blocks if isinstance(b, Table)]
    return [row for table in tables for row in table.rows if not all(row)]


def test_what_is_not_written_has_a_line_for_the_pen(small):
    paper = Paper(small, closed())
    assert for_the_pen(paper, "Work and parts") == [("", "", "")]
    assert for_the_pen(paper, WATER) == [("", "", "", "", "")]
    assert for_the_pen(paper, "Next due") == [("Next visit", "")]
    assert for_the_pen(paper, "Signed") == [
        ("",),
        ("Customer", "", "", ""),
        ("Technician", "", "", ""),
    ]


def test_a_name_that_was_typed_still_has_room_for_the_pen(small):
    paper = Paper(small, closed(*LINES))
    assert [row[-1] for row in for_the_pen(paper, "Signed")] == ["", ""]
    assert for_the_pen(paper, "Next due") == []


def test_a_repair_without_parts_has_no_line_for_them(small):
    _, bruno = called()
    bruno.writes(e.Joined(), e.RepairDone("restore-power"))
    assert for_the_pen(Paper(small, bruno.seen), "Work and parts") == []


def test_a_part_without_a_repair_is_told(small):
    _, bruno = called()
    bruno.writes(e.Joined(), e.Fitted("foot-valve"))
    assert "foot valve | 1 | " in Paper(small, bruno.seen)["Work and parts"]


def test_a_sample_that_was_taken_waits_for_its_result(small):
    line = e.Disinfected("bleach 6 %", "119 fl oz", 1440.0, sampled=True)
    paper = Paper(small, closed(line))
    assert paper[WATER][-1].endswith("| taken; result:")
    assert paper["Next due"][0].startswith("The result of the water sample")


def test_what_was_struck_out_stands_nowhere(small):
    entries = closed(*LINES)
    _, bruno = called()
    bruno.seen = entries
    struck = next(each for each in entries if each.event == LINES[3])
    bruno.writes(e.Undone(struck.id))
    assert "loose board" not in Paper(small, bruno.seen).text


def test_the_office_reads_which_procedures_ended_early(small):
    name = "reading-the-gauge"
    _, bruno = called()
    bruno.writes(
        *(e.Joined(), e.ProcedureBegun(name), e.ProcedureStopped(name, 0)),
        *(e.ProcedureLeft(name, 0), e.ProcedureBegun(name)),
        e.ProcedureLeft(name, 1, "Somebody ran a tap"),
    )
    office = Paper(small, bruno.seen, None, "office")
    stopped, left = office["Procedures that ended early"]
    assert "It will not shut." in stopped
    assert left.startswith("Left: Read the gauge twice, step 2: Somebody ran a tap [Bruno")
    assert "Procedures that ended early" not in Paper(small, bruno.seen).sections


def test_a_warning_is_not_torn_over_two_pages(small):
    lines = [e.SafetyFinding(f"Number {n:02}: {'long ' * 50}") for n in range(25)]
    document = Paper(small, closed(*lines)).document
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf(document))).pages]
    for n in range(25):
        (page,) = [text for text in pages if f"Number {n:02}" in text]
        assert page.count("long") % 50 == 0
