"""What the guard lets through, and what not."""

import pytest
from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import PlainTextResponse
from starlette.routing import Route
from starlette.testclient import TestClient

from faultnet.web.safe.guard import LARGEST, Guard

HOME = "http://localhost:8017"


async def length(request: Request):
    return PlainTextResponse(str(len(await request.body())))


@pytest.fixture
def browser():
    route = Route("/", length, methods=["GET", "POST"])
    with TestClient(Starlette(routes=[route], middleware=[Middleware(Guard)]), HOME) as client:
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
