"""The knowledge as pages: all of it, linked, and each number with where it comes from."""

import re
from html import unescape
from urllib.parse import urlsplit

import msgspec
import pytest

from faultnet.model.origin import Number
from faultnet.network.build import UNLISTED
from faultnet.web.pages.knowledge import KINDS, LISTED

TOLD = ("judgement", "common practice", "from memory")
_NUMBER = re.compile(r"\d[\d.]*(?:%| min\b| of 100 trouble calls)|odds times [\d.]+")
_HREF = re.compile(r'href="([^"]*)"')
_ID = re.compile(r'id="([^"]*)"')


def known(browser):
    return browser.app.state.office.knowledge


def held(browser, kind):
    return getattr(known(browser), kind.replace("-", "_"))


def texts(value):
    """Yield what authors wrote in their own words."""
    if isinstance(value, str) and " " in value:
        yield value
    elif isinstance(value, msgspec.Struct) and not isinstance(value, Number):
        for field in value.__struct_fields__:
            yield from texts(getattr(value, field))
    elif isinstance(value, dict | tuple):
        for each in value.values() if isinstance(value, dict) else value:
            yield from texts(each)


def plain(page):
    """Return the text of a page, without its markup."""
    body = page.text.partition('<main id="main">')[2]
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", body)).split())


@pytest.fixture
def pages(browser):
    """Every page that can be reached from the first, by its path."""
    todo, found = ["/knowledge"], {}
    while todo:
        place = todo.pop()
        if place not in found:
            page = found[place] = browser.get(place)
            links = (urlsplit(unescape(link)) for link in _HREF.findall(page.text))
            todo += [link.path for link in links if link.path.startswith("/knowledge")]
    return found


def test_every_entry_is_reached_and_every_link_leads_somewhere(browser, pages):
    assert {place: page.status_code for place, page in pages.items() if page.is_error} == {}
    for kind in KINDS:
        missing = [
            name
            for name, entry in held(browser, kind).items()
            if f"/knowledge/{kind}/{name}" not in pages and not getattr(entry, "found_cause", "")
        ]
        assert missing == [], kind
    for page in pages.values():
        for link in map(urlsplit, map(unescape, _HREF.findall(page.text))):
            if link.fragment and link.path in pages:
                assert link.fragment in _ID.findall(pages[link.path].text), link


def test_every_number_stands_with_where_it_comes_from(browser, pages):
    sources = tuple(source.title for source in known(browser).sources.values())
    prose = set(texts(known(browser))) - {*sources}
    bare = []
    for place, page in pages.items():
        said = plain(page)
        for text in sorted((p for p in prose if _NUMBER.search(p)), key=len, reverse=True):
            said = said.replace(" ".join(text.split()), "")
        numbers = list(_NUMBER.finditer(said))
        for at, number in enumerate(numbers):
            after = said[number.end() :]
            if numbers[at + 1 :]:
                after = said[number.end() : numbers[at + 1].start()]
            if not any(told in after for told in (*TOLD, *sources)):
                bare.append((place, number[0], after[:60]))
    assert bare == []
    assert sum(len(_NUMBER.findall(plain(page))) for page in pages.values()) > 3000


def test_a_published_number_leads_to_its_source(browser):
    page = browser.get("/knowledge/readings/running-volts")
    assert "/knowledge/sources#sources/nema-mg1-voltage" in page.text
    assert "NEMA MG 1-2011" in browser.get("/knowledge/sources").text


def test_a_cause_tells_all_that_the_files_say(browser):
    said = plain(browser.get("/knowledge/causes/foot-valve-leaks-slowly"))
    for told in (
        "common: 3.6 of 100 trouble calls judgement",
        "Gauge falls with the house shut off : almost always, 91% judgement",
        "slowly: 62% judgement ; quickly: 3% judgement",
        "Look at the valve on the lifted intake line : 8 min judgement ; technician",
        "Power: locked out, proved dead",
        "foot valve: 55 USD judgement",
        "Proof takes 18 min judgement",
        "Disinfect the whole system",
        "Work from outside; stand clear of the open hatch",
        "Prime lost; the pump only needs filling : sometimes, 28% judgement",
        "Parted by: Look at the valve on the lifted intake line",
        "Military handbook",
    ):
        assert told in said, told


def test_a_system_lists_the_causes_that_it_can_have_and_no_others(browser):
    page = browser.get("/knowledge/systems/jet-pump-cistern").text
    listed = set(re.findall(r"/knowledge/causes/([a-z0-9-]+)", page))
    assert listed == {*browser.app.state.office.subject("jet-pump-cistern").causes} - {UNLISTED}
    assert len(listed) < len(known(browser).causes)


def test_danger_and_caution_stand_before_minutes(browser):
    for name, cause in known(browser).causes.items():
        said = plain(browser.get(f"/knowledge/causes/{name}"))
        repair = known(browser).repairs[cause.repair]
        minutes = said.index("Work: ")
        for text in repair.work.cautions:
            assert said.index(" ".join(text.split())) < minutes
        for shows in cause.shows:
            for danger in known(browser).findings[shows.finding].dangers:
                assert said.index(" ".join(danger.say.split())) < minutes


@pytest.mark.parametrize(
    ("words", "place"),
    [
        ("diaphragm torn", "causes/bladder-ruptured"),
        ("spigot spits", "findings/air-at-taps"),
        ("hold test", "checks/hold-test"),
        ("foot valve", "causes/foot-valve-leaks-slowly"),
        ("guage falls", "findings/gauge-falls-isolated"),
        ("lock out the power", "procedures/lock-out"),
    ],
)
def test_words_of_people_lead_to_what_they_mean(browser, words, place):
    page = browser.get("/knowledge", params={"q": words})
    found = re.findall(r"/knowledge/([a-z-]+/[a-z0-9-]+)", page.text)
    assert place in found[:8]


@pytest.mark.parametrize("words", ["qqqqqq", "<script>", "  ", "a" * 5000, "\x00"])
def test_a_search_for_nothing_known_is_told(browser, words):
    page = browser.get("/knowledge", params={"q": words})
    assert page.status_code == 200
    assert "<script" not in page.text
    if words.strip().isalpha():
        assert "Nothing here sounds like" in page.text


@pytest.mark.parametrize(
    ("place", "hint"),
    [
        ("causes/foot-valve-leak-slowly", "Did you mean `foot-valve-leaks-slowly`?"),
        ("cause/foot-valve-leaks-slowly", "Did you mean `causes`?"),
        ("chekcs", "Did you mean `checks`?"),
        ("causes/qqqqqq", "holds nothing of that name"),
    ],
)
def test_what_is_not_there_is_told(browser, place, hint):
    page = browser.get(f"/knowledge/{place}")
    assert page.status_code == 404
    assert hint in plain(page)


def test_lists_leave_nothing_out(browser):
    for kind in LISTED:
        page = browser.get(f"/knowledge/{kind}").text
        for name, entry in held(browser, kind).items():
            assert getattr(entry, "found_cause", "") or f"/knowledge/{kind}/{name}" in page
