"""Every page against WCAG 2.2 A and AA, by axe-core in a real browser, light and dark.

Rules: axe-core's, by their tags (https://www.w3.org/TR/WCAG22/). What axe-core cannot see, the
size of answers, the width, the keyboard and the script, is measured here.
"""

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.web.serving import CHROMIUM, TO_TIMER, begin, press, step

pytestmark = pytest.mark.skipif(not CHROMIUM, reason="Debian's chromium is not installed")

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
OPTIONS = {"runOnly": TAGS, "resultTypes": ["violations"]}
NARROW = {"width": 320, "height": 640}
THUMB = 44.0
"""CSS pixels; WCAG 2.2 asks for 24 (2.5.8, AA) and recommends 44 (2.5.5, AAA)."""

PLACES = [
    "/",
    "/new",
    "/new?by=phone",
    "/new?by=phone&q=orquay",
    "/nowhere",
    "/knowledge",
    "/knowledge?q=water+hammer",
    "/knowledge?q=qqqqqq",
    "/knowledge/sources",
    "/knowledge/causes",
    "/knowledge/procedures",
    "/knowledge/systems/jet-pump-cistern",
    "/knowledge/causes/foot-valve-leaks-slowly",
    "/knowledge/causes/switch-setting-drifted-or-misadjusted",
    "/knowledge/findings/prime-level-falls",
    "/knowledge/findings/never-shuts-off",
    "/knowledge/checks/hold-test",
    "/knowledge/repairs/clean-foot-valve",
    "/knowledge/procedures/hold-test-step-by-step",
    "/knowledge/set-ups/power-locked-out",
    "/knowledge/readings/running-volts",
    "/knowledge/layouts/check-valve",
    "/knowledge/circumstances/after-freeze",
]
WALK = [
    ("dangers", []),
    ("danger", ["1"]),
    ("look on arrival", ["u", "n"]),
    ("layout", ["s"]),
    ("seen", ["s"]),
    ("words", ["t"]),
    ("question", ["b", "1"]),
    ("take along", ["y", ""]),
    ("step", [""]),
    ("look back", ["l"]),
    ("why", ["", "w"]),
    ("not now", ["", "s"]),
    ("procedures", ["", "h"]),
    ("procedure", ["3"]),
    ("walked", ["w"]),
    ("timer", ["", "", "t"]),
    ("leaving it", ["l"]),
]
"""What is shown on the way through a case, each with the keys that lead there."""

CALLED = [
    ("danger first", []),
    ("what to say", ["1"]),
    ("who needs water", ["u", "n", "n", "n"]),
    ("at the pump", ["2", ""]),
    ("complaint", ["n"]),
    ("all of the sheet", ["f"]),
    ("who calls", ["", "u", "u", "u", "u", "u", "u", "1", "e"]),
]
"""The same for a call."""


@pytest.fixture
def page(chromium):
    page = chromium.new_page(viewport=NARROW)
    yield page
    page.close()


def faults(page):
    """Return what is wrong with a page as it stands, in words."""
    found = []
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        for fault in Axe().run(page, options=OPTIONS).response["violations"]:
            found += [f"{scheme}: {fault['id']}: {node['html'][:150]}" for node in fault["nodes"]]
    if page.evaluate("document.documentElement.scrollWidth") > NARROW["width"]:
        found.append("wider than the screen")
    found += [f"small: {told}" for told in page.evaluate(SMALL, THUMB)]
    return found


SMALL = """(least) => [...document.querySelectorAll(
    "button, nav a, a.go, summary, label:has(input), input:not([type=hidden], [type=radio])"
)].filter((each) => each.checkVisibility()).filter((each) => {
    const box = each.getBoundingClientRect();
    return box.height < least || box.width < least;
}).map((each) => each.outerHTML.slice(0, 150))"""


@pytest.mark.parametrize("place", PLACES)
def test_page(page, address, place):
    page.goto(address + place)
    assert not faults(page)


@pytest.mark.parametrize("speaker", ["technician", "caller"])
def test_the_first_question_of_a_case(page, address, speaker):
    begin(page, address, speaker)
    assert not faults(page)


def test_the_way_through_a_case(page, address):
    begin(page, address)
    found = {}
    for name, keys in WALK:
        press(page, *keys)
        if wrong := faults(page):
            found[name] = wrong
    assert not found


def test_a_call_its_outcome_and_handing_it_over(page, address):
    begin(page, address, "caller")
    found = {}
    for name, keys in CALLED:
        press(page, *keys)
        if wrong := faults(page):
            found[name] = wrong
    while page.locator("#typed").count():
        with page.expect_navigation():
            page.locator("form button.go").click()
    assert page.locator("p.kind").first.inner_text() == "What it comes to"
    call = page.url.partition("?")[0]
    for place in ("", "?view=field:name", "/site", "/site?q=mill", "/outcome"):
        page.goto(call + place)
        if wrong := faults(page):
            found[place] = wrong
    for details in page.locator("summary").all():
        details.click()
    if wrong := faults(page):
        found["outcome, all of it"] = wrong
    with page.expect_navigation():
        page.locator("main form button.go").click()
    if wrong := faults(page):
        found["board"] = wrong
    page.goto(call.replace("/calls/", "/cases/"))
    if wrong := faults(page):
        found["hand-over"] = wrong
    assert not found


def test_on_paper_an_outcome_is_whole_and_without_buttons(page, address):
    begin(page, address, "caller")
    page.goto(page.url + "/outcome")
    page.emulate_media(media="print")
    assert not page.locator("button").first.is_visible()
    assert page.get_by_text("nine in ten after").is_visible()
    assert page.get_by_text("A second trip:").is_visible()


def test_the_end_of_a_case_its_report_and_the_board(page, address):
    begin(page, address)
    press(page, "n", "e")
    assert not faults(page)
    press(page, "1")
    assert not faults(page)
    press(page, "", "d")
    assert page.locator('button[name="key"]').count() == 0
    assert not faults(page)
    page.goto(page.url.partition("?")[0] + "/report.html")
    assert not faults(page)
    begin(page, address)
    page.goto(address)
    assert not faults(page)


def test_the_audit_finds_what_is_wrong(page, address):
    page.goto(address)
    spoil = """document.querySelector("main").innerHTML =
            "<h1>Title</h1><h4>Too deep</h4><img src=x><p>faint</p><button>x</button>";
        document.documentElement.removeAttribute("lang");
        document.querySelector("main p").style.color = "#888";
        document.querySelector("button").style.minHeight = "20px";
        document.querySelector("button").style.padding = "0";"""
    page.evaluate(spoil)
    told = "\n".join(faults(page))
    for rule in ("heading-order", "image-alt", "html-has-lang", "color-contrast", "small:"):
        assert rule in told


def test_a_case_can_be_answered_by_keyboard_alone(page, address):
    page.goto(f"{address}/new")
    page.keyboard.press("Tab")
    assert focused(page) == ("A", "To the main part")
    page.keyboard.press("Enter")
    for _ in range(2):  # the place to choose, then the first system
        page.keyboard.press("Tab")
        assert outline(page) >= 3.0
    page.keyboard.press("Enter")
    page.wait_for_url("**/cases/*")
    title = page.locator("h1").inner_text()
    page.locator('button[value="n"]').focus()
    page.keyboard.press("Space")
    page.wait_for_function("(old) => document.querySelector('h1').innerText !== old", arg=title)
    seen = set()
    for _ in range(60):
        page.keyboard.press("Tab")
        if focused(page)[0] == "BODY":
            break
        assert outline(page) >= 3.0
        seen.add(focused(page))
    buttons = page.locator("button:visible").evaluate_all("all => all.map((b) => b.innerText)")
    assert {("BUTTON", text) for text in buttons} <= seen


def focused(page):
    return tuple(
        page.evaluate("[document.activeElement.tagName, document.activeElement.innerText]")
    )


def outline(page):
    return page.evaluate("parseFloat(getComputedStyle(document.activeElement).outlineWidth)")


def test_a_timer_counts_down_and_says_when_it_is_up(page, address):
    page.clock.install()
    step(page, address)
    press(page, *TO_TIMER)
    page.get_by_text("Time left:", exact=True).wait_for()
    shown = page.locator(".timer .left")
    minutes = int(shown.inner_text().partition(":")[0])
    assert minutes in {2, 3}
    assert not page.get_by_role("link", name="Look again").is_visible()
    page.clock.run_for(60_000)
    assert int(shown.inner_text().partition(":")[0]) == minutes - 1
    assert page.locator(".timer [role=status]").inner_text() == ""
    page.clock.run_for(180_000)
    assert shown.inner_text() == "0:00"
    assert page.locator(".timer [role=status]").inner_text() == "The time is up."


def test_without_script_a_timer_tells_what_was_left(chromium, address):
    page = chromium.new_page(java_script_enabled=False)
    step(page, address)
    press(page, *TO_TIMER)
    assert "Time left when this page was loaded: " in page.locator(".timer").inner_text()
    page.get_by_role("link", name="Look again").click()
    minutes, _, seconds = page.locator(".timer .left").inner_text().partition(":")
    assert 60 < int(minutes) * 60 + int(seconds) <= 180
    page.close()


def test_nothing_moves_by_itself(page, address):
    page.goto(f"{address}/knowledge")
    moving = """[...document.querySelectorAll("*")].map((e) => getComputedStyle(e)).filter(
        (s) => s.animationName !== "none" || parseFloat(s.transitionDuration) > 0).length"""
    assert page.evaluate(moving) == 0


def test_on_paper_a_cause_is_whole_and_without_what_only_a_screen_needs(page, address):
    page.emulate_media(media="print", color_scheme="dark")
    page.goto(f"{address}/knowledge/causes/foot-valve-leaks-slowly")
    assert not page.locator("nav").is_visible()
    assert page.locator("svg.share").first.is_visible()
    assert page.evaluate("getComputedStyle(document.body).color") == "rgb(0, 0, 0)"
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
