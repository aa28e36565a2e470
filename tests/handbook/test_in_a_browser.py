"""The book in a real browser: WCAG 2.2 by axe-core, day and night, phone and paper.

Rules: axe-core's, by their tags (https://www.w3.org/TR/WCAG22/).
"""

import io

import pypdf
import pytest
from axe_playwright_python.sync_playwright import Axe

from faultnet.drawing.network.svg import page_style
from faultnet.handbook.written import folder, one_file
from tests.web.serving import CHROMIUM
from tests.web.test_axe import NARROW, OPTIONS

pytestmark = pytest.mark.skipif(not CHROMIUM, reason="Debian's chromium is not installed")


@pytest.fixture
def page(chromium):
    page = chromium.new_page(viewport=NARROW, java_script_enabled=True)
    yield page
    page.close()


@pytest.fixture(scope="session")
def small_file(small_book, tmp_path_factory):
    path = tmp_path_factory.mktemp("book") / "small.html"
    path.write_bytes(one_file(small_book, "html", page_style()))
    return path


@pytest.mark.parametrize("name", ["index.html", "causes.html"])
def test_a_page_keeps_the_rules_by_day_and_by_night(page, small_book, tmp_path, name):
    path = tmp_path / name
    path.write_bytes(folder(small_book, "html", page_style())[name])
    page.goto(f"file://{path}")
    found = []
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        for fault in Axe().run(page, options=OPTIONS).response["violations"]:
            found += [f"{scheme}: {fault['id']}: {node['html'][:150]}" for node in fault["nodes"]]
    assert found == []


def test_on_a_narrow_phone_nothing_lies_beyond_the_edge(page, book, tmp_path):
    for name, data in folder(book, "html", page_style()).items():
        path = tmp_path / name
        path.write_bytes(data)
        if name in {"index.html", "procedures.html", "readings.html", "systems.html"}:
            page.goto(f"file://{path}")
            assert page.evaluate("document.documentElement.scrollWidth") <= NARROW["width"], name


def test_a_link_of_the_contents_leads_to_its_chapter_without_a_script(chromium, small_file):
    page = chromium.new_page(java_script_enabled=False)
    page.goto(f"file://{small_file}")
    page.locator("section#contents a", has_text="Causes").click()
    assert page.url.endswith("#causes")
    assert page.locator("section#causes > h2").is_visible()
    page.close()


def test_on_paper_each_chapter_begins_a_page_in_black_on_white(page, small_book, small_file):
    page.goto(f"file://{small_file}")
    page.emulate_media(media="print", color_scheme="dark")
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
    assert page.evaluate("getComputedStyle(document.body).color") == "rgb(0, 0, 0)"
    sheets = [each.extract_text() for each in pypdf.PdfReader(io.BytesIO(page.pdf())).pages]
    for chapter in (each for each in small_book.sections if each.page):
        assert any(sheet.lstrip().startswith(chapter.title) for sheet in sheets), chapter.title
