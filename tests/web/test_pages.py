"""A case from its opening to its report, as a browser without script sends it."""

import base64
import hashlib
import re

from faultnet.cases.entry import Writer


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
    assert "<meter" in page.text
    for key in ("n", "e", "1", "d"):
        tap = {name: hidden(page, name) for name in ("last", "view", "what", "text")}
        page = browser.post(f"{place}/reply", data={**tap, "key": key})
    assert 'name="key"' not in page.text
    assert place not in browser.get("/").text


def test_an_address_that_leads_nowhere_is_told(browser):
    page = browser.get("/nowhere")
    assert page.status_code == 404
    assert "There is no page at this address" in page.text


def test_by_phone_the_caller_gets_no_step_of_a_technician(browser):
    place = browser.post("/new", data={"system": "jet-pump-cistern", "speaker": "caller"}).url.path
    visit = browser.app.state.office.visit(place.rpartition("/")[2], Writer("somebody@here"))
    advice = visit.talk.counsel.advice(visit.at.evidence)
    assert {step.who for step in advice.steps} <= {"caller", "specialist"}
    assert any(step.who == "caller" for step in advice.steps)
