"""The page under a thumb, in a real browser at the size of a phone."""

import json
import re

import pytest
from playwright.sync_api import expect

from faultnet.visit.dangers import SAFE
from tests.pocket.desk import MOMENT, PAGE, PHONE, REST, TO_STEP, TO_TIMER, Thumb, carried
from tests.web.conftest import chromium
from tests.web.serving import CHROMIUM

__all__ = ["chromium"]

pytestmark = pytest.mark.skipif(not CHROMIUM, reason="Debian's chromium is not installed")


@pytest.fixture
def page(chromium):
    context = chromium.new_context(viewport=PHONE, has_touch=True, reduced_motion="reduce")
    yield context.new_page()
    context.close()


@pytest.fixture
def thumb(page, desk):
    return Thumb(page, desk.address).open()


@pytest.fixture
def guarded(page, desk, monkeypatch):
    """Somebody at a page that takes no tap for as long as the one that ships."""
    monkeypatch.setattr(desk, "moment", MOMENT)
    return Thumb(page, desk.address).open()


def events(thumb, what=None):
    found = [entry["event"] for entry in thumb.entries()]
    return [event for event in found if what is None or event["what"] == what]


@pytest.mark.parametrize(
    ("keys", "decimals", "negative", "text"),
    [
        ("44.5", 1, False, "44.5"),
        ("44.55", 1, False, "44.5"),
        ("4..5", 1, False, "4.5"),
        (".5", 1, False, "0.5"),
        ("007", 0, False, "7"),
        ("4.5", 0, False, "45"),
        ("5s", 1, True, "-5"),
        ("5ss", 1, True, "5"),
        ("5s", 1, False, "5"),
        ("5sb", 1, True, ""),
        ("12b", 0, False, "1"),
        ("12c", 0, False, ""),
        ("1234567890", 0, False, "123456789"),
    ],
)
def test_keys_make_a_number(page, desk, keys, decimals, negative, text):
    page.goto(f"{desk.address}look.css")
    names = {"s": "sign", "b": "back", "c": "clear"}
    typed = page.evaluate(
        """async ([keys, wanted]) => {
            const { typed } = await import("./keypad.js");
            return keys.reduce((text, key) => typed(text, key, wanted), "");
        }""",
        [[names.get(k, k) for k in keys], {"decimals": decimals, "negative": negative}],
    )
    assert typed == text


def test_a_number_is_tapped_in_the_unit_of_the_gauge_and_survives_a_reload(thumb):
    thumb.begin().tap("none of these")
    thumb.page.get_by_role("button", name="another unit").click()
    thumb.keys("3.0")
    thumb.page.reload()
    thumb.rest()
    assert thumb.page.locator(".number").inner_text() == "3.0"
    thumb.tap("Use 3.0 bar")
    assert thumb.told == "Kept on this phone: 3.0 bar"
    (found,) = events(thumb, "as-found")
    # 1 psi is 6.894757 kPa: NIST SP 811 (2008), appendix B.8.
    assert found["value"] == pytest.approx(300 / 6.894757, rel=1e-6)


def test_a_double_tap_answers_once(thumb):
    thumb.begin()
    before = len(events(thumb))
    place = thumb.page.get_by_role("button", name="none of these").bounding_box()
    thumb.rest().page.get_by_role("button", name="none of these").scroll_into_view_if_needed()
    thumb.page.get_by_role("button", name="none of these").dblclick()
    thumb.page.wait_for_timeout(100)
    thumb.rest()
    assert place
    assert len(events(thumb)) == before + 1
    assert thumb.page.locator(".kind").first.inner_text().startswith("As you found it, 1")


TAPPED_TWICE = """async () => {
    const slow = document.createElement("button");
    globalThis.taps = 0;
    slow.addEventListener("click", () => { globalThis.taps += 1; });
    document.querySelector("main").append(slow);
    slow.click();
    await new Promise((on) => setTimeout(on, 50));
    slow.click();
}"""
"""Something that draws nothing, tapped twice within a moment."""


def test_a_new_screen_takes_no_tap_in_the_first_moment(guarded):
    guarded.begin().tap("none of these")
    skip = guarded.page.get_by_role("button", name="Skip these looks")
    skip.click()
    guarded.page.wait_for_selector("main[data-rests]")
    number = len(events(guarded))
    guarded.page.locator(".replies button").first.dispatch_event("click")
    guarded.rest()
    assert len(events(guarded)) <= number + 1
    assert len(events(guarded, "told")) == 0


def test_after_a_tap_none_is_taken_for_a_moment_but_keys_are(guarded):
    guarded.begin().tap("none of these").keys("1")
    assert guarded.page.locator("main[data-rests]").count() == 0
    guarded.keys("2")
    assert guarded.page.locator(".number").inner_text() == "12"
    guarded.page.evaluate(TAPPED_TWICE)
    guarded.page.wait_for_selector("main[data-rests]")
    assert guarded.page.evaluate("() => globalThis.taps") == 1


def test_undo_stands_where_back_stands_and_leads_to_the_question_before(thumb):
    first = thumb.begin().title
    places = [thumb.page.locator("footer nav button").first.bounding_box()]
    thumb.tap("none of these", "Skip these looks")
    places.append(thumb.page.locator("footer nav button").first.bounding_box())
    thumb.tap("Causes")
    places.append(thumb.page.locator("footer nav button").first.bounding_box())
    assert len({(p["x"], round(p["y"])) for p in places}) == 1
    thumb.back().back().back()
    assert thumb.title == first
    assert [e["what"] for e in events(thumb)][-2:] == ["undone", "undone"]


def test_danger_stops_everything_until_its_word_is_tapped(thumb):
    thumb.begin().tap("Tingle or shock")
    page = thumb.page
    assert page.locator("main.stop .kind").inner_text() == "STOP"
    assert page.locator(".danger").first.inner_text().startswith("Danger: Nobody touches")
    assert page.locator(".replies > button").count() == 0
    thumb.keys("sef")
    assert page.locator(".pad-shown").inner_text() == "_ _ _ _"
    assert not events(thumb, "made-safe")
    thumb.keys(SAFE)
    page.wait_for_selector("main:not(.stop) h1")
    thumb.rest()
    assert len(events(thumb, "made-safe")) == 1


def test_danger_and_caution_stand_before_what_else_is_told(thumb, desk):
    carried(thumb, desk, TO_STEP)
    kinds = thumb.page.locator(".body > *").evaluate_all("all => all.map((e) => e.className)")
    assert "caution" in kinds
    told = kinds[kinds.index("kind") + 2 :]
    assert told[: told.count("caution")] == ["caution"] * told.count("caution")


def test_a_reload_and_a_new_window_come_back_to_the_turn(thumb, desk):
    thumb.begin().tap("none of these", "Skip these looks")
    title = thumb.title
    thumb.page.reload()
    assert thumb.rest().title == title
    other = Thumb(thumb.page.context.new_page(), desk.address)
    other.page.goto(desk.address)
    other.page.wait_for_selector("main[data-screen=turn]")
    assert other.rest().title == title
    thumb.page.close()


def test_a_view_is_left_by_the_back_of_the_phone(thumb):
    thumb.begin().tap("none of these", "Skip these looks")
    title = thumb.title
    thumb.tap("Causes")
    assert thumb.title != title
    thumb.page.go_back()
    thumb.page.wait_for_selector("main[data-screen=turn]")
    assert thumb.rest().title == title


def test_what_cannot_be_kept_is_never_said_to_be(page, desk):
    page.add_init_script(
        """const add = IDBObjectStore.prototype.add;
        IDBObjectStore.prototype.add = function (...given) {
          if (window.full) throw new DOMException("", "QuotaExceededError");
          return add.apply(this, given);
        };"""
    )
    thumb = Thumb(page, desk.address).open().begin()
    title, before = thumb.title, len(events(thumb))
    page.evaluate("window.full = true")
    thumb.tap("none of these")
    assert "no room left" in thumb.told
    assert thumb.title == title
    assert len(events(thumb)) == before
    page.evaluate("window.full = false")
    thumb.tap("none of these")
    assert thumb.told.startswith("Kept on this phone")
    assert len(events(thumb)) == before + 1


def test_trouble_of_the_thinking_loses_nothing(thumb, page):
    thumb.begin()
    trouble = {"trouble": {"place": "there", "reason": "It broke.", "mend": "Mend it."}}
    page.route("**/ask/show", lambda route: route.fulfill(body=json.dumps(trouble)))
    thumb.tap("none of these")
    assert [page.get_by_text(t, exact=True).count() for t in ("It broke.", "Mend it.")] == [1, 1]
    page.unroute("**/ask/show")
    thumb.tap("Try again")
    assert page.locator(".kind").first.inner_text().startswith("As you found it")


def test_thinking_is_shown_as_such_after_what_was_kept(thumb, page):
    thumb.begin()
    held = []

    def hold(route):
        held.append(route)

    page.route("**/ask/show", hold)
    page.get_by_role("button", name="none of these").click()
    page.wait_for_selector(".thinking")
    assert thumb.told.startswith("Kept on this phone")
    assert page.locator(".replies button").count() == 0
    held[0].continue_()
    page.unroute("**/ask/show")
    thumb.rest()


def test_a_timer_counts_rings_and_survives_a_reload(page, desk):
    page.clock.install()
    thumb = carried(Thumb(page, desk.address).open(), desk, TO_TIMER).tap("Timer 3 min")
    left = page.locator(".timer .left")
    expect(left).to_have_text(re.compile("^(3:00|2:[45])"))
    thumb.tap("So far")
    expect(page.locator("#timer")).to_have_text(re.compile("^Time left (3:00|2:[45])"))
    page.reload()
    thumb.rest()
    page.wait_for_selector("#timer:not([hidden])")
    thumb.back()
    page.clock.fast_forward(60_000)
    expect(left).to_have_text(re.compile("^(2:00|1:[45])"))
    page.clock.fast_forward(120_000)
    page.get_by_role("button", name="Quiet").click()
    expect(page.locator(".timer")).to_have_text(re.compile("^The time is up."))
    assert not page.get_by_role("button", name="Quiet").is_visible()


def test_what_the_alarm_can_do_is_told_honestly(page, desk):
    page.add_init_script("delete Navigator.prototype.wakeLock; delete window.AudioContext;")
    thumb = carried(Thumb(page, desk.address).open(), desk, TO_TIMER).tap("Timer 3 min")
    told = page.locator(".timer .aside").inner_text()
    assert "It cannot sound yet" in told
    assert "lets the screen go off" in told
    assert thumb.title


def test_the_whole_visit_with_nothing_but_the_thumb_needs_no_sideways_way(thumb, desk):
    carried(thumb, desk, TO_STEP)
    thumb.page.set_viewport_size({"width": 320, "height": 640})
    thumb.page.reload()
    thumb.rest()
    further = thumb.page.locator(".further")
    last = thumb.page.locator(".replies > *").last
    for _ in range(10):
        if last.bounding_box()["y"] + 64 < further.bounding_box()["y"]:
            break
        further.click()
        thumb.page.wait_for_timeout(100)
    last.click(trial=True)


def test_words_lock_and_a_wipe_leaves_nothing(thumb):
    thumb.begin().back()
    thumb.tap("This phone", "Lock with words")
    thumb.page.fill("#typed", "three wet thumbs")
    thumb.tap("Lock with these words", "Lock now")
    assert thumb.title == "Locked"
    thumb.page.fill("#typed", "three dry thumbs")
    thumb.tap("Open", exact=True)
    assert "not the words" in thumb.told
    thumb.page.fill("#typed", "three wet thumbs")
    thumb.tap("Open", exact=True).tap("This phone", "Wipe this phone", "No, keep everything")
    assert thumb.title == "This phone"
    thumb.tap("Wipe this phone")
    assert "nowhere else" in thumb.page.locator(".danger").inner_text()
    thumb.tap("Yes, wipe it")
    assert thumb.title == "Who are you?"
    assert thumb.entries() == []


def test_newer_knowledge_is_taken_when_somebody_says_so(thumb):
    thumb.begin()
    title = thumb.title
    thumb.page.evaluate("offer()")
    thumb.page.wait_for_timeout(300)
    assert thumb.rest().title == title  # never in the middle of a step
    thumb.back().tap("Newer knowledge")
    with thumb.page.expect_navigation():
        thumb.page.get_by_role("button", name="Take it now").click()
    thumb.page.wait_for_selector(REST)


def test_the_scripts_hold_the_page_to_its_own_files():
    page = (PAGE / "index.html").read_text()
    assert "script-src 'self' 'wasm-unsafe-eval'" in page
    assert "style=" not in page
    assert page.count("<script") == 1
    for script in PAGE.rglob("*.js"):
        text = script.read_text()
        assert "innerHTML" not in text, script.name
        assert "://" not in text.replace("http://www.w3.org/2000/svg", ""), script.name
