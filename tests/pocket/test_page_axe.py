"""Every screen of the page against WCAG 2.2 A and AA, by axe-core, light, dark and in full sun.

Rules: axe-core's, by their tags (https://www.w3.org/TR/WCAG22/). The size of targets and the
width of screens are measured here, at the smallest phone.
"""

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.pocket.desk import TO_STEP, TO_TIMER, Thumb, carried
from tests.web.conftest import chromium
from tests.web.serving import CHROMIUM
from tests.web.test_axe import TAGS

__all__ = ["chromium"]

pytestmark = pytest.mark.skipif(not CHROMIUM, reason="Debian's chromium is not installed")

NARROW = {"width": 320, "height": 640}
THUMB = 64.0
"""CSS pixels that a target is high; WCAG 2.2 asks for 24 (2.5.8) and recommends 44 (2.5.5)."""
LEAST = 44.0
"""CSS pixels that any target has each way, also what answers nothing."""

ALL = {"runOnly": TAGS, "resultTypes": ["violations"]}
COLOURS = {"runOnly": {"type": "rule", "values": ["color-contrast"]}, "resultTypes": ["violations"]}

SMALL = """([thumb, least]) => [...document.querySelectorAll(
    "button, a, summary, label.as-button, input:not(.unseen)")]
  .filter((each) => each.checkVisibility())
  .filter((each) => {
    const box = each.getBoundingClientRect();
    const high = each.closest(".replies") && !each.matches(".unit") ? thumb : least;
    return box.height < high || box.width < least;
  }).map((each) => each.outerHTML.slice(0, 150))"""

EXACT = {"Back", "Office", "undo", "Cases"}
"""Labels that stand within others, too."""

SUN = "(on) => document.documentElement.toggleAttribute('data-sun', on)"

OFFICE = {
    "/api/v1/who": {
        "schema_version": 1,
        "name": "Ada Orquay",
        "role": "technician",
        "may": ["see", "customer", "write"],
        "form_token": "a",
    },
}


def faults(thumb):
    """Return what is wrong with a screen as it stands, in words."""
    page, found = thumb.rest().page, []
    for scheme, options in (("light", ALL), ("dark", COLOURS), ("sun", COLOURS)):
        page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
        page.evaluate(
            f"document.documentElement.toggleAttribute('data-sun', {str(scheme == 'sun').lower()})"
        )
        for fault in Axe().run(page, options=options).response["violations"]:
            found += [f"{scheme}: {fault['id']}: {node['html'][:150]}" for node in fault["nodes"]]
        if page.evaluate("document.documentElement.scrollWidth") > NARROW["width"]:
            found.append(f"{scheme}: wider than the screen")
        found += [f"{scheme}, small: {told}" for told in page.evaluate(SMALL, [THUMB, LEAST])]
    page.evaluate(SUN, arg=False)
    return found


@pytest.fixture
def page(chromium):
    context = chromium.new_context(viewport=NARROW, has_touch=True, reduced_motion="reduce")
    yield context.new_page()
    context.close()


def look(thumb, walk):
    """Return the faults of the screens that taps lead to, each with the name of its screen."""
    found = []
    for name, labels in walk:
        for label in labels:
            thumb.tap(label, exact=label in EXACT)
        found += [f"{name}: {fault}" for fault in faults(thumb)]
    return found


def test_the_screens_around_a_case(page, desk):
    thumb = Thumb(page, desk.address)
    page.goto(desk.address)
    found = look(thumb, [("who", [])])
    page.fill("#typed", "Ada Orquay")
    around = [
        ("none", ["That is me"]),
        ("phone", ["This phone"]),
        ("words", ["Lock with words"]),
        ("begin", ["Back", "Back", "New case"]),
        ("dangers", ["Jet pump drawing from a cistern"]),
        ("stop", ["Tingle or shock"]),
        ("number", ["undo", "none of these"]),
        ("first", ["undo", "Cases"]),
        ("wipe", ["This phone", "Wipe this phone"]),
        ("file", ["No, keep", "Back", "A file"]),
        ("no office", ["Back", "Office"]),
        ("files", ["Hand on as files"]),
    ]
    assert found + look(thumb, around) == []


def test_the_screens_of_a_case(page, desk):
    thumb = carried(Thumb(page, desk.address).open(), desk, TO_TIMER)
    walk = [
        ("walk", []),
        ("timer", ["Timer 3 min"]),
        ("history", ["So far"]),
        ("causes", ["Back", "Causes"]),
        ("at any time", ["Back", "Other"]),
        ("report", ["Report"]),
    ]
    assert look(thumb, walk) == []
    page.emulate_media(media="print")
    assert page.locator(".paper").is_visible()
    assert not page.locator("footer").is_visible()


def test_a_step_and_what_it_says(page, desk):
    thumb = carried(Thumb(page, desk.address).open(), desk, TO_STEP)
    walk = [("step", []), ("search", ["Other", "tell more"])]
    assert look(thumb, walk) == []


def test_the_office_its_cases_and_what_was_said_apart(page, desk):
    case = {
        "id": "20260304-0731-abcde",
        "title": "Jet pump drawing from a cistern",
        "name": "Mill at Orquay",
        "address": "Weir Lane 1",
        "next": "technician",
        "urgency": {"id": "P1", "title": "no water", "target": "today", "reason": "invented"},
    }
    desk.office = {**OFFICE, "/api/v1/board": {"schema_version": 1, "cases": [case]}}
    try:
        thumb = Thumb(page, desk.address).open()
        days = ("day", ["Take cases along", "Mill at Orquay"])
        found = look(thumb, [("office", ["Office"]), days])
        assert page.get_by_role("button", name="Take 1 along").is_visible()
        assert "no water" in page.locator("main").inner_text()
    finally:
        desk.office = {}
    assert found == []


HERE = """async (log) => {
    const kept = await (await import("./kept.js")).openKept();
    const entries = await kept.entries(log);
    kept.close();
    return entries.length;
}"""
REFUSED = """async () => {
    const kept = await (await import("./kept.js")).openKept();
    const [{ id: log }] = await kept.logs();
    const told = { place: "here", reason: "It was refused.", mend: "Look again." };
    const aside = (await kept.entries(log)).map(({ id }) => [id, { log, told, at: "" }]);
    await kept.setSetting("aside", Object.fromEntries(aside));
    await kept.setCursor(log, 1);
    kept.close();
    return log;
}"""
"""Entries that the office refused, of a case that it no longer has."""


def test_what_is_nowhere_else_goes_only_after_a_question(page, desk):
    thumb = Thumb(page, desk.address).open().begin()
    log = page.evaluate(REFUSED)
    desk.office = {**OFFICE, "/api/v1/reached": {"schema_version": 1, "logs": []}}
    try:
        thumb.tap("Cases", "Office", exact=True).tap("Compare with the office now", log)
        assert "lost for good" in page.locator("main").inner_text()
        assert faults(thumb) == []
        thumb.tap("No, keep it")
        assert page.evaluate(HERE, log)
        thumb.tap(log, "Yes, take it off")
        assert not page.evaluate(HERE, log)
        assert not page.get_by_role("button", name=log).count()
    finally:
        desk.office = {}


def test_the_audit_finds_what_is_wrong(page, desk):
    thumb = Thumb(page, desk.address).open()
    page.evaluate(
        """() => {
          const small = document.querySelector(".replies button");
          Object.assign(small.style, { minHeight: "50px", height: "50px", padding: 0 });
          const faint = document.querySelector("h1");
          faint.style.color = "#999";
          faint.style.width = "400px";
        }"""
    )
    told = "\n".join(faults(thumb))
    for rule in ("color-contrast", "small:", "wider"):
        assert rule in told
