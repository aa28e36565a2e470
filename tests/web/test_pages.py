"""A case from its opening to its report, as a browser without script sends it."""

import re

import pytest
from starlette.testclient import TestClient

from faultnet.authoring.shipped import shipped_folder
from faultnet.web.app import application
from faultnet.web.settings import Settings


@pytest.fixture
def browser(tmp_path):
    settings = Settings(tmp_path, shipped_folder(), f"sqlite:///{tmp_path / 'cases.db'}")
    with TestClient(application(settings)) as client:
        yield client


def hidden(page, name):
    return re.search(rf'name="{name}" value="([^"]*)"', page.text)[1]


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
    assert "<h1" in browser.get(f"{place}/report.html").text


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
