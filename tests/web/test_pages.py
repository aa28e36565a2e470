"""A case from its opening to its report, as a browser without script sends it."""

import base64
import hashlib
import re
import time
from html import unescape

import pytest

from faultnet.cases.entry import Writer
from faultnet.cases.events import (
    Denied,
    Measured,
    Passed,
    ProcedureBegun,
    ProcedureStepDone,
    RepairDone,
    TimerStarted,
    Told,
)
from tests.web.conftest import read


def hidden(page, name):
    return re.search(rf'name="{name}" value="([^"]*)"', page.text)[1]


def sha256(page):
    """Return the hash of the style that stands in a page, as a browser works it out."""
    style = re.search(r"<style>(.*?)</style>", page, re.DOTALL)[1]
    return base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()


def allowed(answer):
    """Return the hashes of the styles that the policy lets through."""
    return re.findall(r"'sha256-([^']+)'", answer.headers["content-security-policy"])


def test_a_case_is_answered_and_reported(browser):
    page = browser.post("/new", data={"system": "jet-pump-cistern"})
    place = page.url.path
    assert page.status_code == 200
    for _ in range(3):
        last, key = hidden(page, "last"), hidden(page, "key")
        page = browser.post(f"{place}/reply", data={"last": last, "key": key})
        assert hidden(page, "last") != last
    assert place in browser.get("/").text
    assert browser.get(f"{place}/report.pdf").content.startswith(b"%PDF")
    report = browser.get(f"{place}/report.html")
    assert "<h1" in report.text
    assert allowed(report) == [sha256(report.text)]


def test_a_page_has_no_style_or_script_of_its_own(browser):
    for place in ("/", "/new"):
        assert "<style" not in browser.get(place).text
        assert "<script" not in browser.get(place).text


def test_a_second_tap_answers_nothing_newer(browser):
    page = browser.post("/new", data={"system": "jet-pump-cistern"})
    tap = {"last": hidden(page, "last"), "key": hidden(page, "key")}
    first = browser.post(f"{page.url.path}/reply", data=tap)
    second = browser.post(f"{page.url.path}/reply", data=tap)
    assert hidden(first, "last") == hidden(second, "last")
    assert "Nothing was noted" in second.text


def test_wrong_input_is_told_and_nothing_kept(browser):
    assert browser.get("/cases/none").status_code == 404
    assert browser.post("/new", data={"system": "none"}).status_code == 400
    page = browser.post("/new", data={"system": "jet-pump-cistern"})
    last = hidden(page, "last")
    page = browser.post(f"{page.url.path}/reply", data={"last": last, "key": "no key"})
    assert hidden(page, "last") == last
    assert "Nothing was noted" in page.text
    assert browser.get(f"{page.url.path}?view=seen:x").status_code == 200


def test_an_ended_case_leaves_the_board(browser):
    page = browser.post("/new", data={"system": "jet-pump-cistern"})
    place = page.url.path
    assert page.text.count('<svg class="share"') == 9
    for key in ("n", "e", "1", "", "d"):
        tap = {name: hidden(page, name) for name in ("last", "view", "what", "text")}
        page = browser.post(f"{place}/reply", data={**tap, "key": key})
    assert 'name="key"' not in page.text
    browser.get("/")
    assert not browser.app.state.office.standings  # what is closed is not kept in memory
    assert place not in browser.get("/").text


def test_the_closing_sheet_is_filled_in_and_stands_in_the_report(browser):
    page = browser.post("/new", data={"system": "jet-pump-cistern"})
    place = page.url.path

    def send(page, **given):
        tap = {n: unescape(hidden(page, n)) for n in ("last", "view", "what", "text")}
        return browser.post(f"{place}/reply", data={**tap, **given})

    for key in ("n", "e", "1", "5", "1", "t"):
        page = send(page, key=key)
    refused = send(page, typed="31.2.2027")
    assert "`31.2.2027` is no date" in refused.text
    back = send(refused, key="")
    assert "The sheet: what goes into the report" in back.text
    page = send(refused, typed="2099-01-01")
    assert "more than 20 years" in page.text
    page = send(send(send(back, key="5"), key="1"), key="1")
    assert "So far: due 1." in page.text
    page = send(send(send(page, key="3"), key="t"), typed="<b>Lid</b> is a loose board")
    page = send(page, key="y")
    assert "&lt;b&gt;Lid&lt;/b&gt; is a loose board" in page.text
    page = send(send(page, key=""), key="d")
    report = browser.get(f"{place}/report.html").text
    assert "&lt;b&gt;Lid&lt;/b&gt; is a loose board. The customer declined" in report
    assert "Next service" in report


@pytest.mark.parametrize("asked", ["view=sheet", "view=sheet:name:pope", "what=sheet:day:&text=x"])
def test_an_address_of_the_sheet_made_by_hand_shows_what_is_due(browser, asked):
    page = browser.post("/new", data={"system": "jet-pump-cistern"})
    assert browser.get(f"{page.url.path}?{asked}").status_code == 200


def test_an_address_that_leads_nowhere_is_told(browser):
    page = browser.get("/nowhere")
    assert page.status_code == 404
    assert "There is no page at this address" in page.text


def test_by_phone_the_caller_gets_no_step_of_a_technician(browser):
    place = browser.post("/new", data={"system": "jet-pump-cistern", "speaker": "caller"}).url.path
    visit = read(browser.app.state.office, place.rpartition("/")[2], Writer("somebody@here"))
    advice = visit.talk.counsel.advice(visit.at.evidence)
    assert {step.who for step in advice.steps} <= {"caller", "specialist"}
    assert any(step.who == "caller" for step in advice.steps)


def told(browser, *findings):
    """Open a case in which these findings were told, and return its address."""
    place = browser.post("/new", data={"system": "jet-pump-cistern"}).url.path
    office, name = browser.app.state.office, place.rpartition("/")[2]
    visit = read(office, name, Writer("anna@cellar", lambda: 1_767_600_000.0))
    for event in (Denied(()), *(Told(each, "yes") for each in findings), Passed("layout")):
        visit = office.keep(visit, visit.after(event))
    return place


def test_what_was_told_stands_with_its_time_and_its_round(browser):
    place = told(browser, "gauge-falls-isolated")
    office, name = browser.app.state.office, place.rpartition("/")[2]
    visit = read(office, name, Writer("anna@cellar", lambda: 1_767_603_660.0))
    visit = office.keep(
        visit, visit.after(Measured("hold", {"start": 50.0, "end": 44.0, "minutes": 15.0}))
    )
    page = browser.get(place).text
    assert "Gauge falls with the house shut off: yes" in page
    assert '<time datetime="2026-01-05T09:01:00.000Z">09:01</time>' in page
    assert "start 50 psi, end 44 psi" in page
    assert "At first" not in page
    office.keep(visit, visit.after(RepairDone("clean-foot-valve")))
    page = browser.get(place).text
    assert "After: Lift the line, clean or replace the foot valve" in page


def test_behind_why_stand_all_steps_with_their_prices(browser):
    place = told(browser, "gauge-falls-isolated")
    visit = read(browser.app.state.office, place.rpartition("/")[2], Writer("somebody@here"))
    advice = visit.talk.counsel.advice(visit.at.evidence)
    page = browser.get(place, params={"view": "why"}).text
    assert "Steps and their prices" not in browser.get(place).text
    for step in advice.steps:
        assert step.title in page
        assert f"In all: about {step.expected_total:.0f} min." in page
        assert f"Price with set-ups: {step.price:.0f} min." in page
    assert f"If the causes were known: about {advice.floor:.0f} min" in page
    ranking = visit.talk.counsel.ranking(visit.at.evidence)
    assert [c.title for c in ranking.causes[:3]] == titles(page)[:3]


def titles(page):
    """Return the titles of ranked causes, in the order of the page."""
    return re.findall(r'/knowledge/causes/[a-z0-9-]+">([^<]*)</a>', page.partition("ranked")[2])


def test_a_danger_that_is_open_stands_above_everything_that_is_looked_at(browser):
    place = told(browser, "never-shuts-off")
    page = browser.get(place, params={"view": "why"}).text
    assert page.index("Switch the pump off at the panel now") < page.index("<h1>")
    assert "Price with set-ups" not in page


def timed(browser, at):
    """Start the timer of a hold test at a time, as this browser; return the page after it."""
    place = browser.post("/new", data={"system": "jet-pump-cistern"}).url.path
    office, name = browser.app.state.office, place.rpartition("/")[2]
    visit = read(office, name, Writer(f"page@{browser.cookies['device']}", lambda: at))
    hold = "hold-test-step-by-step"
    dangers = tuple(f.id for f in office.knowledge.findings.values() if f.dangers)
    done = (ProcedureStepDone(hold, 0), ProcedureStepDone(hold, 1))
    for event in (Denied(dangers), ProcedureBegun(hold), *done, TimerStarted(hold, 2)):
        visit = office.keep(visit, visit.after(event))
    return browser.get(place)


def test_only_a_case_may_run_scripts_and_only_ours(browser):
    assert "script-src" not in browser.get("/new").headers["content-security-policy"]
    page = timed(browser, time.time())
    policy = page.headers["content-security-policy"]
    assert policy.endswith("; script-src 'self'; connect-src 'self'")
    assert "'unsafe" not in page.headers["content-security-policy"]
    assert re.findall(r"<script[^>]*>", page.text) == [
        '<script src="http://localhost:8017/static/timer.js" defer>',
        '<script src="http://localhost:8017/static/live.js" defer>',
    ]
    left = int(re.search(r'data-left="(\d+)"', page.text)[1])
    assert 170 <= left <= 180
    assert f"{left // 60}:{left % 60:02d}" in page.text
    assert browser.get("/static/timer.js").headers["content-type"].startswith("text/javascript")


def test_a_timer_that_has_run_out_says_so_without_script(browser):
    page = timed(browser, time.time() - 600.0)
    assert '<p role="status">The time is up.</p>' in page.text
    assert "data-left" not in page.text


VIEWS = [
    "why",
    "before",
    "tried",
    "tried-how",
    "tried-words",
    "take-along",
    "look-back",
    "correct",
    "else",
    "not-now",
    "why-not",
    "suspect",
    "suspect-words",
    "search",
    "seen",
    "reading",
    "readings",
    "ways",
    "how",
    "part",
    "leave",
    "sheet",
    "change",
]


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("which", ["", ":x", ":x:y", ":x=y", ":999"])
def test_an_address_made_by_hand_is_no_fault_of_the_server(opened, view, which):
    browser, place = opened
    assert browser.get(place, params={"view": view + which}).status_code == 200
    assert browser.get(place, params={"what": view + which, "text": "x"}).status_code == 200
