"""Links, asides, bars, pictures and sections within sections, by each of the three writers."""

import io

import pypdf

from faultnet.writing.clean import cleaned
from faultnet.writing.document import (
    Aside,
    Bullets,
    Document,
    Link,
    Paragraph,
    Picture,
    Section,
    Share,
    Table,
    plain_text,
)
from faultnet.writing.html import html
from faultnet.writing.markdown import markdown
from faultnet.writing.pdf import pdf

WORDS = (
    "See ",
    Link('The "valve" <b>', "causes/valve"),
    ": 91% ",
    Aside(("judgement",)),
    Share(0.91),
)
DEEP = Section("Seven", (), sections=(Section("Eight", (Paragraph("deep"),)),))
for _ in range(5):
    DEEP = Section("Up", (), sections=(DEEP,))
PAPER = Document(
    "Book",
    "",
    (),
    (
        Section(
            "One",
            (
                Paragraph(WORDS),
                Paragraph("Keep away.", warning=True, danger=True),
                Bullets(("first", WORDS), numbered=True),
                Table(("A",), ((WORDS,),)),
                Picture("valve", "<svg></svg>", "What is around the valve"),
            ),
            "causes/valve",
            (DEEP,),
            page=True,
        ),
    ),
)


def test_html():
    told = html(PAPER, place=lambda name: f"other.html#{name}")
    assert '<a href="other.html#causes/valve">The &quot;valve&quot; &lt;b&gt;</a>' in told
    assert "<small class=from>judgement</small>" in told
    assert 'class="part" width="91.0%"' in told
    assert '<section id="causes/valve" class=page>' in told
    assert '<p class="warning danger" dir=auto>Keep away.</p>' in told
    assert told.count("<ol>") == 1
    assert 'aria-label="What is around the valve"' in told
    assert "<h6>Eight</h6>" in told
    assert "<h7" not in told


def test_a_bar_stays_within_its_frame():
    for share, wide in ((1.7, "100.0"), (-1.0, "0.0")):
        told = html(Document("B", "", (), (Section("S", (Paragraph((Share(share),)),)),)))
        assert f'class="part" width="{wide}%"' in told


def test_markdown():
    told = markdown(PAPER, pictures="pictures")
    assert '<a id="causes/valve"></a>' in told
    assert 'See [The "valve" \\<b\\>](#causes/valve): 91% (judgement)' in told
    assert "1. first\n2. See" in told
    assert "**Keep away.**" in told
    assert "![What is around the valve](pictures/valve.svg)" in told
    assert "###### Eight" in told
    assert "![" not in markdown(PAPER)


def test_pdf_has_the_words_without_links():
    pages = pypdf.PdfReader(io.BytesIO(pdf(PAPER))).pages
    told = " ".join(" ".join(page.extract_text() for page in pages).split())
    assert 'See The "valve" <b>: 91% (judgement)' in told
    assert "What is around the valve" in told
    assert "Eight deep" in told


def test_clean_keeps_links_and_the_room_between_pieces():
    (section,) = cleaned(PAPER).sections
    assert section.blocks[0].text == WORDS
    assert (section.id, section.page, section.sections) == ("causes/valve", True, (DEEP,))
    assert plain_text(WORDS) == 'See The "valve" <b>: 91% (judgement)'
