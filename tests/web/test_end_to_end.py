"""Whole cases in a real browser: a phone, a keyboard, no script, two browsers, a crash."""

import json
import os
import re
import signal
import subprocess
import sys
import time
from contextlib import contextmanager

import pytest
from playwright.sync_api import expect

from faultnet.cases.store.place import FILE, place_of
from faultnet.cases.store.store import Store
from tests.cli.conftest import ROOT
from tests.web.serving import CHROMIUM, TO_SEEN, TO_STEP, begin, call, press, step

pytestmark = pytest.mark.skipif(not CHROMIUM, reason="Debian's chromium is not installed")

PHONE = {"width": 390, "height": 844}
NARROW = {"width": 320, "height": 640}
DESK = {"width": 1280, "height": 800}
TURNS = 80
"""Turns within which a case comes to its end."""

READ = 1100
"""Milliseconds until a question that became another takes an answer."""

FOUND = ("The pressure is under cut-in. Does the motor", "Is this what you see", "Prove the repair")
"""What a technician sees who finds the first cause that is looked for."""

AGREED = ("Ask the customer first", "What had been wrong?", "Does the system work as it should")
"""What is answered with yes on the way; signs asked about are not there."""


@pytest.fixture
def person(chromium):
    """Return what makes a page of somebody with a browser of their own."""
    contexts = []

    def come(size=PHONE, **more):
        contexts.append(chromium.new_context(viewport=size, **more))
        return contexts[-1].new_page()

    yield come
    for each in contexts:
        each.close()


def keys(page):
    """Return the answers that a page offers, by key."""
    return {
        each.get_attribute("value"): each.inner_text()
        for each in page.locator('main button[name="key"]').all()
    }


def title(page):
    return page.locator("h1").inner_text()


def answer(page, offered, seen=()):
    """Return the key of a technician who sees none of the signs asked about, but some."""
    if "y" in offered and (
        title(page).startswith((*AGREED, *seen)) or "repair is done" in offered["y"]
    ):
        return "y"
    return next(key for key in ("d", "n", "", "1", "s", "?") if key in offered)


def to_the_end(page, seen=()):
    """Answer to the end of a case that is mended; yield the title of each turn on the way."""
    mended = False
    for _ in range(TURNS):
        yield title(page)
        offered = keys(page)
        if not offered:
            break
        key = answer(page, offered, seen)
        mended = mended or "repair is done" in offered.get(key, "")
        press(page, key)
    assert mended
    assert not keys(page)


def case_of(page):
    return re.search(r"/cases/([^/?]+)", page.url)[1]


def end(page):
    """End a visit that came to nothing more, from any turn."""
    press(page, "e", "6", "", "d")
    assert not keys(page)


def test_a_technician_with_a_phone_answers_a_case_to_its_end(person, address):
    page = person()
    begin(page, address)
    press(page, *TO_SEEN, "t")
    page.fill("#typed", "water at the air valve")
    with page.expect_navigation():
        page.locator("button.go").click()
    press(page, "1", "y")
    wide = []
    for turn in to_the_end(page):
        page.set_viewport_size(NARROW)
        if page.evaluate("document.documentElement.scrollWidth") > NARROW["width"]:
            wide.append(turn)
        page.set_viewport_size(PHONE)
    assert not wide
    with page.expect_navigation():
        page.get_by_role("link", name="Read", exact=True).click()
    assert "Water at the air valve" in page.locator("body").inner_text()
    assert "Replace the tank" in page.locator("body").inner_text()
    paper = page.request.get(f"{address}/cases/{case_of(page)}/report.pdf")
    assert paper.body().startswith(b"%PDF")


def test_a_dispatcher_takes_a_call_and_a_technician_goes_on_with_it(person, address):
    desk = person(DESK)
    call(desk, address)
    with desk.expect_navigation():
        desk.locator('a[href$="/outcome"]').first.click()
    assert "P1" in desk.locator("main").inner_text()
    with desk.expect_navigation():
        desk.locator('form[action$="/hand-over"] button').click()
    phone = person()
    phone.goto(address)
    board = phone.locator("main").inner_text()
    assert "Mill at Orquay" in board
    assert "waiting for a technician" in board.lower()
    with phone.expect_navigation():
        phone.get_by_role("link", name=re.compile("Mill at Orquay")).first.click()
    told = phone.locator("main").inner_text()
    assert "What the caller told" in told
    assert "No water at any tap" in told
    press(phone, "")
    assert title(phone).startswith("Is any of this so")
    list(to_the_end(phone, FOUND))
    with phone.expect_navigation():
        phone.get_by_role("link", name="Read", exact=True).click()
    assert "Service report" in phone.locator("body").inner_text()


def test_by_keyboard_alone(person, address):
    page = person({"width": 1200, "height": 800})
    page.goto(f"{address}/new")
    go(page, '[value="jet-pump-cistern"]')
    for key in ("n", "s", "s", "t"):
        go(page, f'[name="key"][value="{key}"]')
    reach(page, "#typed")
    page.keyboard.type("gauge falls")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    for key in ("1", "y", *TO_STEP, "e", "6", "", "d"):
        go(page, f'[name="key"][value="{key}"]')
    assert not keys(page)
    go(page, f'[href$="{case_of(page)}/report.html"]')
    assert "Gauge falls" in page.locator("body").inner_text()


def reach(page, wanted):
    """Come to a control by the Tab key."""
    for _ in range(120):
        page.keyboard.press("Tab")
        if page.evaluate("(wanted) => document.activeElement.matches(wanted)", wanted):
            return
    pytest.fail(f"{wanted} is not reached by keyboard")


def go(page, wanted):
    """Come to a control by the Tab key and press it."""
    reach(page, wanted)
    with page.expect_navigation():
        page.keyboard.press("Enter")


def test_without_script(person, address):
    page = person(java_script_enabled=False)
    step(page, address)
    other = person(java_script_enabled=False)
    other.goto(page.url)
    press(page, "d")
    press(other, "d")
    assert "The case has moved on" in other.locator("main").inner_text()
    assert title(other) == title(page)
    end(page)
    with page.expect_navigation():
        page.get_by_role("link", name="Read", exact=True).click()
    assert "Gauge falls" in page.locator("body").inner_text()
    assert other.get_by_role("button", name="Show it").count() == 0


def listens(page):
    """Wait until a page listens to its case."""
    page.wait_for_function("() => source !== null && source.readyState === EventSource.OPEN")


def kept(address, page):
    """Return all that the server's store holds of the case of a page."""
    answer = page.request.get(f"{address}/api/v1/events?log={case_of(page)}")
    return answer.json()["entries"]


def test_two_on_one_case_see_each_other_at_once_and_nothing_is_lost(person, address):
    one, other = person(), person({"width": 1200, "height": 800})
    begin(one, address)
    press(one, "n", "s", "s")
    other.goto(one.url)
    taken = []
    for turn in range(6):
        writes, looks = (other, one) if turn % 2 else (one, other)
        writes.wait_for_timeout(READ)
        press(writes, "1")
        listens(looks)
        ranked = looks.locator("[data-part=ranking]").inner_text()
        press(writes, "y")
        began = time.monotonic()
        told = writes.locator("[data-part=history] .events li > span").last.inner_text()
        looks.get_by_text(told, exact=True).wait_for()
        taken.append(time.monotonic() - began)
        assert looks.locator("[data-part=ranking]").inner_text() != ranked
        assert (title(looks), keys(looks)) == (title(writes), keys(writes))
        assert looks.locator("#live [role=status]").inner_text().startswith("Somebody wrote")
    assert sorted(taken)[2] < 1.0  # most of them, however busy the machine is
    told = [each for each in kept(address, one) if each["event"]["what"] == "told"]
    assert len({each["id"] for each in told}) == len(told) == 6
    first, second = told[0]["author"], told[1]["author"]
    assert first != second
    assert [each["author"] for each in told] == [first, second] * 3


def test_what_is_typed_stays_while_somebody_else_writes(person, address):
    one, other = person(), person()
    begin(one, address)
    press(one, *TO_SEEN, "1", "y")
    other.goto(one.url)
    press(other, "t")
    listens(other)
    before = other.locator("[data-part=ranking]").inner_text()
    other.locator("#typed").press_sequentially("no water at the sh")
    press(one, "1", "y")
    button = other.get_by_role("button", name="Show it")
    expect(button).to_be_visible()
    expect(other.locator("#live [role=status]")).to_contain_text("What you are typing is still")
    ranking = other.locator("[data-part=ranking]")
    expect(ranking).not_to_have_text(before, use_inner_text=True)
    other.locator("#typed").press_sequentially("ower")
    assert other.locator("#typed").input_value() == "no water at the shower"
    assert other.evaluate("document.activeElement.id") == "typed"
    other.keyboard.press("Enter")  # nothing is sent that would be refused and lost
    expect(other.locator("#live [role=status]")).to_contain_text("Nothing was sent")
    assert other.locator("#typed").input_value() == "no water at the shower"
    with other.expect_navigation():
        other.locator("button.go").click()
    assert "no water at the shower" in other.locator(".kind").inner_text()


def test_the_focus_stays_and_no_answer_goes_to_another_question(person, address):
    one, other = person(), person()
    step(one, address)
    press(one, "d")
    other.goto(one.url)
    for place, key in (("a[href$='report.pdf']", "n"), ("button[value='n']", "?")):
        listens(other)
        other.locator(place).focus()
        press(one, key)
        expect(other.locator("h1")).to_have_text(title(one))
        same = other.evaluate("(place) => document.activeElement.matches(place)", place)
        assert same is place.startswith("a")
    assert other.evaluate("document.activeElement.localName") == "h1"
    before = kept(address, one)
    press(one, "?")
    expect(other.locator("h1")).to_have_text(title(one))
    other.evaluate("changedAt = performance.now(); document.querySelector('[value=n]').click()")
    expect(other.locator("#live [role=status]")).to_contain_text("Nothing was sent")
    assert len(kept(address, one)) == len(before) + 1
    other.wait_for_timeout(READ)
    press(other, "n")
    expect(one.locator("h1")).to_have_text(title(other))


def test_a_page_that_nobody_sees_holds_no_connection(person, address):
    page = person()
    begin(page, address)
    listens(page)
    page.evaluate("""Object.defineProperty(document, "hidden", { value: true, configurable: true });
        document.dispatchEvent(new Event("visibilitychange"))""")
    assert page.evaluate("source") is None
    page.evaluate("""delete document.hidden;
        document.dispatchEvent(new Event("visibilitychange"))""")
    listens(page)


@contextmanager
def started(folder, port=0):
    """Start a server in a process of its own; yield it and its address."""
    server = subprocess.Popen(
        [sys.executable, "-m", "faultnet", "serve", "--port", str(port), "--json"],
        stdout=subprocess.PIPE,
        text=True,
        cwd=ROOT,
        env={**os.environ, "FAULTNET_DATA": str(folder)},
    )
    try:
        lines = iter(server.stdout.readline, "}\n")
        yield server, json.loads("".join(lines) + "}")["address"]
    finally:
        server.send_signal(signal.SIGKILL)
        server.communicate()


def test_killed_in_the_middle_the_case_goes_on_at_the_same_turn(person, tmp_path):
    page, other = person(), person()
    with started(tmp_path) as (server, address):
        step(page, address)
        press(page, "d")
        case, due = case_of(page), (title(page), keys(page))
        other.goto(page.url)
        listens(other)
        before = kept(address, page)
        server.send_signal(signal.SIGKILL)
        server.wait()
        other.wait_for_function("() => source === null || source.readyState !== EventSource.OPEN")
    with started(tmp_path, int(address.rpartition(":")[2])) as (_, again):
        assert again == address
        assert kept(address, page) == before
        page.goto(f"{address}/cases/{case}")
        assert (title(page), keys(page)) == due
        press(page, "n")
        other.wait_for_function(
            "(old) => document.querySelector('h1').innerText !== old", arg=due[0], timeout=45_000
        )
        assert title(other) == title(page)
    with Store(place_of(None, tmp_path)) as store:
        entries = store.read(case).entries
    assert (tmp_path / FILE).exists()
    assert [each.id for each in entries][: len(before)] == [each["id"] for each in before]
    assert len(entries) > len(before)
