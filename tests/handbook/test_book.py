"""The book holds all that is known; each link has its target; danger comes first."""

import re
from collections import Counter
from html import unescape

import pytest
from msgspec.structs import replace

from faultnet.drawing.network.svg import page_style
from faultnet.handbook.book import handbook
from faultnet.handbook.written import folder, one_file
from faultnet.model.in_words import plain
from faultnet.model.knowledge import Knowledge
from faultnet.model.repair import Repair
from faultnet.network.build import UNLISTED, members
from faultnet.writing.document import Section, plain_text
from tests.handbook.conftest import DAY

HOSTILE = "</h4><script>alert(1)</script> [x](javascript:alert(2)) | <a id=dangers>"
_ID = re.compile(r'\bid="([^"]*)"')
_HREF = re.compile(r'\bhref="([^"]*)"')
_MARKDOWN = re.compile(r"(?<!\\)\]\(([^)\s]+)\)")


def sections(section):
    """Yield a section and all below it."""
    yield section
    for each in section.sections:
        yield from sections(each)


def entry(book, name):
    """Return the section of an entry."""
    (found,) = [s for chapter in book.sections for s in sections(chapter) if s.id == name]
    return found


def lines(section):
    """Return the texts of a section and of all below it."""
    found = []
    for each in sections(section):
        found.append(each.title)
        for block in each.blocks:
            texts = getattr(block, "items", None) or [getattr(block, "text", "")]
            found += map(plain_text, texts)
    return found


@pytest.fixture(scope="session")
def page(book):
    return one_file(book, "html", page_style()).decode()


def test_every_link_of_the_page_has_its_target_and_no_id_stands_twice(page):
    ids = Counter(_ID.findall(page))
    assert [name for name, count in ids.items() if count > 1] == []
    targets = [unescape(link) for link in _HREF.findall(page)]
    assert len(targets) > 5000
    assert [link for link in targets if link[:1] != "#" or link[1:] not in ids] == []


@pytest.mark.parametrize(("form", "links"), [("html", _HREF), ("md", _MARKDOWN)])
def test_every_link_of_a_folder_has_its_target(small_book, form, links):
    files = folder(small_book, form)
    texts = {name: data.decode() for name, data in files.items() if name.endswith(form)}
    found = 0
    for name, text in texts.items():
        for link in map(unescape, links.findall(text)):
            file, _, anchor = link.partition("#")
            assert (file or name) in files, link
            assert not anchor or f'id="{anchor}"' in texts[file or name], link
            found += 1
    assert found > 100


def test_the_folder_of_the_shipped_knowledge_has_no_lost_link(book):
    files = {name: data.decode() for name, data in folder(book, "html").items()}
    ids = {name: set(_ID.findall(text)) for name, text in files.items()}
    lost = [
        link
        for name, text in files.items()
        for link in _HREF.findall(text)
        if link.partition("#")[2] not in ids[link.partition("#")[0] or name]
    ]
    assert lost == []
    assert files.keys() >= {"index.html", "causes.html", "sources.html", "index-of-signs.html"}


def test_one_file_of_markdown_has_every_target(book):
    text = one_file(book, "md").decode()
    ids = set(_ID.findall(text))
    targets = _MARKDOWN.findall(text)
    assert len(targets) > 5000
    assert [link for link in targets if link[:1] != "#" or link[1:] not in ids] == []


def test_every_entry_has_its_section(known, book):
    ids = {each.id for chapter in book.sections for each in sections(chapter)}
    for kind in ("systems", "causes", "checks", "repairs", "set_ups", "procedures", "readings"):
        held = getattr(known, kind)
        assert {f"{kind.replace('_', '-')}/{name}" for name in held} <= ids
    seen = [each.id for each in known.findings.values() if not each.found_cause]
    assert {f"findings/{name}" for name in seen} <= ids
    assert {f"sources/{name}" for name in known.sources} <= ids


def test_dangers_stand_first_with_what_to_do(known, book):
    first, contents, *_ = book.sections
    assert (first.id, contents.id) == ("dangers", "contents")
    told = "\n".join(lines(first))
    for finding in known.findings.values():
        for danger in finding.dangers:
            assert f"{finding.title}. Danger when the answer is “{plain(danger.answer)}”" in told
            assert danger.say in told
            assert f"Send: {danger.send}" in told
    full = [block for block in first.blocks[1:] if "Everything stops." in plain_text(block.text)]
    assert list(first.blocks[1 : len(full) + 1]) == full


def test_in_each_cause_danger_and_caution_stand_before_the_work(known, book):
    for cause in known.causes.values():
        told = lines(entry(book, f"causes/{cause.id}"))
        work = next(k for k, line in enumerate(told) if line.startswith("Work: "))
        first = "\n".join(told[:work])
        for caution in known.repairs[cause.repair].work.cautions:
            assert caution in first
        for shows in cause.shows:
            for danger in known.findings[shows.finding].dangers:
                assert danger.say in first


def test_a_cause_tells_signs_checks_repair_prices_and_what_it_goes_with(book):
    told = lines(entry(book, "causes/foot-valve-leaks-slowly"))
    for line in (
        "common: 3.6 of 100 trouble calls (judgement)",
        "Prime level falls: slowly: 62% (judgement); quickly: 3% (judgement)",
        "Look at the valve on the lifted intake line: 8 min (judgement); technician",
        "Power: locked out, proved dead",
        "foot valve: 55 USD (judgement)",
        "Prime lost; the pump only needs filling: sometimes, 28% (judgement)",
        "Parted by: Look at the valve on the lifted intake line",
    ):
        assert line in told, line


def test_signs_stand_in_order_of_strength(known, book):
    for cause in list(known.causes.values())[:40]:
        found = entry(book, f"causes/{cause.id}")
        (signs,) = [each for each in found.sections if each.title == "What it shows"]
        shares = [
            each.share
            for block in signs.blocks
            for item in getattr(block, "items", ())
            for each in item
            if hasattr(each, "share")
        ]
        assert shares == sorted(shares, reverse=True)


def test_what_people_say_is_in_the_index(known, book):
    told = lines(next(each for each in book.sections if each.id == "index-of-signs"))
    for finding in known.findings.values():
        if finding.found_cause:
            continue
        assert finding.title in told
        for word in finding.words:
            assert any(line.casefold() == f"{word}: {finding.title}".casefold() for line in told), (
                word
            )


def test_a_book_of_a_system_has_its_causes_and_no_others(known):
    system = known.systems["cistern-booster"]
    told = handbook(known, DAY, system)
    ids = {each.id for chapter in told.sections for each in sections(chapter)}
    expected = {f"causes/{each}" for each in members(known, system).causes if each != UNLISTED}
    assert {each for each in ids if re.fullmatch(r"causes/[^/]+", each)} == expected
    assert len(expected) < len(known.causes)
    text = one_file(told, "html").decode()
    found = set(_ID.findall(text))
    assert [link for link in _HREF.findall(text) if link[1:] not in found] == []


def test_version_and_day_stand_at_the_head(known, book, page):
    facts = dict(book.facts)
    assert facts["Version of the knowledge"] == known.version[:12]
    assert facts["Written on"] == DAY
    assert page.index(known.version[:12]) < page.index("Dangers first")


def test_the_same_knowledge_gives_the_same_book(small, small_book):
    again = handbook(small, DAY)
    assert one_file(again, "md") == one_file(handbook(small, DAY), "md")
    assert one_file(small_book, "html") == one_file(small_book, "html")


def test_nothing_in_the_page_acts_or_is_fetched(page):
    assert "<script" not in page
    assert not re.findall(r'\bsrc=|url\((?!#)|@import|\bon\w+="', page)


def test_hostile_titles_are_text(small):
    known: Knowledge = small
    causes = {name: replace(each, title=HOSTILE) for name, each in known.causes.items()}
    repairs: dict[str, Repair] = {
        name: replace(each, title=HOSTILE) for name, each in known.repairs.items()
    }
    told = handbook(replace(known, causes=causes, repairs=repairs), DAY)
    text = one_file(told, "html").decode()
    assert "<script" not in text
    assert text.count('id="dangers"') == 1
    text = one_file(told, "md").decode()
    assert "<script" not in text.replace("\\<script", "")
    assert "](javascript" not in text.replace("\\](javascript", "")


def test_pictures_stand_in_the_page_and_beside_markdown(known, small_book, page):
    assert page.count('<svg xmlns="http://www.w3.org/2000/svg" lang="en" class="net"') == len(
        known.causes
    )
    files = folder(small_book, "md")
    drawn = {name for name in files if name.startswith("pictures/")}
    assert drawn == {
        f"pictures/{name}.svg" for name in ("foot-valve-leaks", "pipe-cracked", "prime-lost")
    }
    assert "(pictures/prime-lost.svg)" in files["causes.md"].decode()


def test_a_chapter_that_is_empty_is_left_out(small):
    bare = handbook(replace(small, procedures={}, readings={}), DAY)
    assert all(each.sections or each.blocks for each in bare.sections if isinstance(each, Section))
    assert not [each for each in bare.sections if each.id == "readings"]
