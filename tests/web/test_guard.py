"""What the guard lets through, and what not."""

import asyncio

import pytest
from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import PlainTextResponse
from starlette.routing import Route
from starlette.testclient import TestClient

from faultnet.web.safe.body import LARGEST
from faultnet.web.safe.guard import Guard
from faultnet.web.settings import Reach

HOME = "http://localhost:8017"


async def length(request: Request):
    return PlainTextResponse(str(len(await request.body())))


def guarded(**reach):
    """Return a browser at a small server behind the guard."""
    route = Route("/", length, methods=["GET", "POST"])
    guard = Middleware(Guard, reach=Reach(**reach))
    return TestClient(Starlette(routes=[route], middleware=[guard]), HOME)


@pytest.fixture
def browser():
    with guarded() as client:
        yield client


@pytest.mark.parametrize("host", ["localhost", "localhost:8017", "127.0.0.1:8017", "[::1]:8017"])
def test_this_machine_is_let_in(browser, host):
    assert browser.get("/", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "host", ["pump.example", "localhost.pump.example", "127.0.0.1.example:8017", "", "a@b"]
)
def test_another_name_is_refused(browser, host):
    assert browser.get("/", headers={"host": host}).status_code == 421


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://pump.example"},
        {"origin": "http://localhost:9"},
        {"origin": "null"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
)
def test_a_change_that_another_origin_asks_for_is_refused(browser, headers):
    assert browser.post("/", headers=headers).status_code == 403


@pytest.mark.parametrize("headers", [{}, {"origin": HOME, "sec-fetch-site": "same-origin"}])
def test_a_change_from_its_own_pages_is_let_through(browser, headers):
    answer = browser.post("/", content=b"x" * LARGEST, headers=headers)
    assert answer.text == str(LARGEST)


def test_a_body_that_is_too_large_is_refused_whatever_length_it_claims(browser):
    assert browser.post("/", content=b"x" * (LARGEST + 1)).status_code == 413
    parts = (b"x" * 1024 for _ in range(LARGEST // 1024 + 1))
    assert browser.post("/", content=parts).status_code == 413


def test_pages_may_fetch_nothing_from_elsewhere_and_are_not_kept(browser):
    headers = browser.get("/").headers
    assert headers["content-security-policy"].startswith("default-src 'none';")
    assert "'unsafe" not in headers["content-security-policy"]
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["cache-control"] == "no-store"


def test_beyond_this_machine_it_answers_to_its_own_names_only():
    with guarded(names=frozenset({"pumps.example"})) as browser:
        for host, status in {
            "pumps.example:8017": 200,
            "PUMPS.example": 200,
            "localhost": 200,
            "other.example": 421,
            "pumps.example.other.example": 421,
            "x@pumps.example": 421,
            "192.0.2.1": 421,
            "[::": 421,
        }.items():
            answer = browser.get("/", headers={"host": host})
            assert answer.status_code == status, host
            assert status == 200 or "pumps.example" in answer.text


def test_where_each_address_is_its_own_a_name_is_refused_still():
    """A page elsewhere needs a name to lead a browser here; it cannot point an address here."""
    with guarded(any_address=True) as browser:
        for host, status in {
            "192.0.2.7:8017": 200,
            "[2001:db8::7]:8017": 200,
            "192.0.2.7.example": 421,
            "pump.example": 421,
        }.items():
            assert browser.get("/", headers={"host": host}).status_code == status, host


def test_a_page_that_came_unprotected_is_another_origin():
    with guarded(secure=True) as browser:
        for scheme, status in {"http": 403, "https": 200}.items():
            headers = {"origin": f"{scheme}://localhost:8017"}
            assert browser.post("/", headers=headers).status_code == status


def test_no_files_are_taken(browser):
    answer = browser.post("/", files={"picture": ("volute.jpg", b"x", "image/jpeg")})
    assert answer.status_code == 415
    assert "no files" in answer.text
    for kind in ("text/plain", "application/xml", "multipart/form-data; boundary=x"):
        answer = browser.post("/", content=b"x", headers={"content-type": kind})
        assert answer.status_code == 415
    for kind in ("application/json; charset=utf-8", "Application/X-WWW-Form-Urlencoded"):
        answer = browser.post("/", content=b"{}", headers={"content-type": kind})
        assert answer.text == "2"


def test_a_body_that_does_not_come_is_not_waited_for(monkeypatch):
    monkeypatch.setattr("faultnet.web.safe.body.PATIENCE", 0.05)
    sent = []

    async def never():
        await asyncio.sleep(60)

    async def send(message):
        sent.append(message)

    scope = {
        "type": "http",
        "method": "POST",
        "path": "/",
        "scheme": "http",
        "headers": [(b"host", b"localhost")],
    }
    asyncio.run(Guard(never)(scope, never, send))
    assert sent[0]["status"] == 408
