"""Editions in a real browser: whole or not at all, the newer one told, taken when it is said."""

import json
import re

import pytest
from playwright.sync_api import expect

from faultnet.pocket.making.written import write
from tests.pocket.desk import PHONE
from tests.pocket.files import serving
from tests.pocket.trial import trial
from tests.web.serving import CHROMIUM

pytestmark = pytest.mark.skipif(not CHROMIUM, reason="no chromium")
PATIENCE = 20_000


class Page:
    """The trial page on a phone."""

    def __init__(self, context, address):
        self.page = context.new_page()
        self.page.goto(address)

    def until(self, told):
        """Wait until the state holds this text of JSON, and return the state."""
        expect(self.page.locator("#state")).to_contain_text(told, timeout=PATIENCE)
        return json.loads(self.page.inner_text("#state"))

    def press(self, what):
        self.page.click(f"#{what}")


@pytest.fixture
def phone(chromium):
    context = chromium.new_context(viewport=PHONE)
    yield context
    context.close()


@pytest.fixture
def folder(tmp_path):
    write(trial(), tmp_path / "cellar")
    return tmp_path / "cellar"


def test_it_works_without_signal_once_all_is_here(phone, folder):
    with serving(folder.parent) as served:
        page = Page(phone, f"{served.address}cellar/")
        first = page.until('"kept":true')
        assert first["edition"] == trial().edition.edition
        served.stop()
        page.page.reload()
        assert page.until('"kept":true')["edition"] == first["edition"]


def test_a_newer_edition_is_told_and_taken_when_it_is_said(phone, folder):
    with serving(folder) as served:
        page = Page(phone, served.address)
        old = page.until('"kept":true')["edition"]
        newer = trial(version="2", added=b"x" * 5000)
        write(newer, folder)
        page.press("look")
        told = page.until('"ready":true')
        assert told["edition"] == old
        assert told["newer"]["knowledge"] == "2"
        page.page.reload()
        assert page.until('"ready":true')["edition"] == old
        page.press("take")
        taken = page.until(f'"kept":true,"edition":"{newer.edition.edition}"')
        assert (taken["kept"], taken["newer"]) == (True, None)


def test_what_is_asked_while_the_office_is_renewed_is_whole_or_not_at_all(phone, folder):
    with serving(folder) as served:
        page = Page(phone, served.address)
        old = page.until('"kept":true')["edition"]
        newer = trial(version="2", added=b"x" * 5000)
        write(newer, folder)
        (folder / "added").write_bytes(b"y" * 5000)
        (folder / "added.packed").unlink()
        page.press("look")
        assert page.until('"code":"changed"')["edition"] == old
        page.page.reload()
        assert page.until('"code":"changed"')["edition"] == old
        write(newer, folder)
        page.press("look")
        assert page.until('"ready":true')["trouble"] is None


def test_what_broke_off_goes_on_where_it_was(phone, folder):
    with serving(folder) as served:
        page = Page(phone, served.address)
        page.until('"kept":true')
        write(trial(version="2", added=b"x" * 5000, more=b"z" * 100), folder)
        (folder / "more").unlink()
        page.press("look")
        page.until('"code":"changed"')
        write(trial(version="2", added=b"x" * 5000, more=b"z" * 100), folder)
        asked = []
        page.page.on("request", lambda request: asked.append(request.url))
        page.press("look")
        page.until('"ready":true')
        assert [url.rpartition("/")[2] for url in asked] == ["edition.json", "more"]


def test_it_is_not_taken_under_another_window(phone, folder):
    with serving(folder) as served:
        page, other = Page(phone, served.address), Page(phone, served.address)
        old = page.until('"kept":true')["edition"]
        other.until('"kept":true')
        write(trial(version="2"), folder)
        page.press("look")
        page.until('"ready":true')
        page.press("take")
        assert page.until('"code":"other-window"')["edition"] == old
        other.page.close()
        page.press("take")
        assert (
            page.until('"knowledge":"2","faultnet":"0","fetching":null,"newer":null')["edition"]
            != old
        )


def test_something_else_in_place_of_the_office_changes_nothing(phone, folder):
    with serving(folder) as served:
        page = Page(phone, served.address)
        old = page.until('"kept":true')
        (folder / "edition.json").write_text("<!doctype html><title>Log in</title>")
        page.press("look")
        page.page.reload()
        assert page.until('"kept":true') == old


def test_the_copy_has_the_headers_of_safety(phone, folder):
    with serving(folder) as served:
        page = Page(phone, served.address)
        page.until('"kept":true')
        again = page.page.reload()
        assert again.from_service_worker
        assert "script-src 'self' 'wasm-unsafe-eval'" in again.headers["content-security-policy"]


def test_without_https_it_says_why_it_cannot_be_kept(phone, folder, chromium):
    context = chromium.new_context()
    context.route(re.compile("http://office.example/.*"), _from(folder))
    page = Page(context, "http://office.example/")
    told = page.until('"code":"no-https"')
    assert not told["kept"]
    assert "https" in told["trouble"]["mend"]
    context.close()


def _from(folder):
    """Answer from a folder, under whatever name."""

    def answer(route):
        path = route.request.url.split("/", 3)[3] or "index.html"
        kind = "text/html" if path.endswith("html") else "text/javascript"
        route.fulfill(body=(folder / path).read_bytes(), content_type=kind)

    return answer
