"""The three writers: the same words on each paper, and nothing that acts."""

import io
from html.parser import HTMLParser

import pytest

from faultnet.cases import events as e
from faultnet.report.report import service_report
from faultnet.writing.clean import LONGEST, clean
from faultnet.writing.document import Bullets, Document, Paragraph, Section, Table
from faultnet.writing.html import html
from faultnet.writing.markdown import markdown
from faultnet.writing.pdf import NO_LETTER, pdf
from tests.report.conftest import called
from tests.report.reading import Paper

pypdf = pytest.importorskip("pypdf")

HOSTILE = (
    "</li></ul><script>alert(1)</script><img src=x onerror=alert(2)> [x](javascript:alert(3)) "
    "| cell | ![y](z) <!-- & -->"
)
HIDDEN = "safe\u202egnp.exe\u202c \x1b[31mred\x07 \u2066x\u2069 \x00nul\ud800"
ARTFUL = ("# top", "1. one", "- dash", "> said", "`code`", "a | b", "~~gone~~", "=== line")


class Page(HTMLParser):
    """What a page is made of."""

    def __init__(self, text):
        super().__init__()
        self.tags, self.attributes, self.told = [], [], []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.attributes += [name for name, _ in attrs]

    def handle_data(self, data):
        self.told.append(data)


def read(data):
    """Return the text of a PDF on one line, and its pages."""
    reader = pypdf.PdfReader(io.BytesIO(data))
    text = " ".join(page.extract_text() for page in reader.pages)
    return " ".join(text.split()), reader.pages


def paper(*blocks):
    return Document("Report", "customer", (("Site", "Orquay"),), (Section("One", blocks),))


def noted(small, *texts):
    rosa, _ = called()
    rosa.writes(*map(e.Note, texts))
    return service_report(small, rosa.seen, None, "office")


@pytest.mark.parametrize("audience", ["customer", "office"])
def test_every_text_stands_on_each_paper(small, mended, audience):
    entries, site = mended
    told = Paper(small, entries, site, audience)
    on_pdf, _ = read(pdf(told.document))
    on_page = Page(html(told.document)).told
    squeezed = on_pdf.replace(" ", "")
    for lines in told.sections.values():
        for line in lines:
            for text in filter(None, line.split(" | ")):
                assert text in on_page
                assert text.replace(" ", "") in squeezed


def test_markup_is_text(small):
    document = noted(small, HOSTILE)
    page = Page(html(document))
    assert not {"script", "img", "a"} & set(page.tags)
    assert not [name for name in page.attributes if name.startswith("on")]
    assert HOSTILE in "".join(page.told)
    told = markdown(document)
    assert "<script" not in told.replace("\\<script", "")
    assert "](javascript" not in told.replace("\\](javascript", "")
    assert "<script>alert(1)</script>" in read(pdf(document))[0]


@pytest.mark.parametrize("text", ARTFUL)
def test_markdown_signs_are_escaped(text):
    line = markdown(paper(Paragraph(text))).splitlines()[-1]
    assert line != text
    assert line.replace("\\", "") == text


def test_a_bar_in_a_cell_makes_no_column():
    told = markdown(paper(Table(("A", "B"), (("a | b", "c"),))))
    assert told.splitlines()[-1].replace("\\|", "").count("|") == 3


def test_signs_that_steer_are_gone(small):
    document = noted(small, HIDDEN)
    for text in (html(document), markdown(document), read(pdf(document))[0]):
        assert "safegnp.exe" in text
        assert not set(text) & set("\u202e\u202c\u2066\x1b\x07\x00\ud800")


def test_a_megabyte_is_cut_and_said_so(small):
    document = noted(small, "water " * 180_000, "x" * 1_000_000)
    data = pdf(document)
    text, pages = read(data)
    assert text.count("the whole text has 1") == 2
    assert len(pages) < 8
    assert len(html(document)) < 40_000


def test_long_words_and_cells_fit(small):
    long = "x" * 300
    text, _ = read(pdf(paper(Table(("A", "B", "C"), ((long, long, "c"),)), Bullets((long,)))))
    assert text.replace(" ", "").count("x") >= 900


def test_letters_of_many_languages_stand_in_the_pdf():
    told = "Mühlhof Łucja Čáp Ωmega Ёлка 2″ ≥ 40 °F — “so”"
    text, _ = read(pdf(paper(Paragraph(told))))
    assert told in text
    assert NO_LETTER not in text


def test_a_letter_that_is_not_there_is_told():
    text, _ = read(pdf(paper(Paragraph("water 水 here"))))
    assert f"water {NO_LETTER} here" in text
    assert "has no letter for" in text


@pytest.mark.parametrize(("size", "points"), [("a4", (595, 842)), ("letter", (612, 792))])
def test_paper(size, points):
    # ISO 216 A4 is 210 x 297 mm; US Letter (ANSI/ASME Y14.1, size A) 8.5 x 11 in.
    _, (page,) = read(pdf(paper(Paragraph("x")), size))
    assert (page.mediabox.width, page.mediabox.height) == pytest.approx(points, abs=1)


def test_clean():
    assert clean("a\tb\r\nc\u2028d") == "a b c d"
    assert clean("x" * LONGEST) == "x" * LONGEST
    assert clean("x" * (LONGEST + 1)).startswith("x" * LONGEST + " …")
