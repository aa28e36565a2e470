"""An office that misbehaves: told with place, reason and mend; nothing lost, later it goes."""

import http.server
import json
import socket
import threading
from contextlib import contextmanager

import pytest

from faultnet.cases import events as e
from tests.pocket.kept_page import EMPTY, PAGE
from tests.pocket.office_page import Phone
from tests.web.serving import browser

WHO = {"schema_version": 1, "name": "page", "role": "senior", "form_token": None}
WHO["may"] = ["customer", "see", "write"]
KINDS = {".js": "text/javascript", ".json": "application/json"}


class Office(http.server.BaseHTTPRequestHandler):
    """Serves the scripts; how it answers calls is told by ``manner``."""

    protocol_version = "HTTP/1.1"
    manner = staticmethod(lambda _: None)

    def do_GET(self):
        self.answer()

    def do_POST(self):
        self.rfile.read(int(self.headers["content-length"]))
        self.answer()

    def answer(self):
        path = self.path.split("?")[0]
        if path.startswith("/api/"):
            type(self).manner(self)
        elif path == "/pocket/":
            self.gives(200, EMPTY, "text/html; charset=utf-8")
        else:
            file = PAGE / path.removeprefix("/pocket/")
            self.gives(200, file.read_bytes(), KINDS[file.suffix])

    def gives(self, status, body, kind="application/json", length=None):
        self.send_response(status)
        self.send_header("content-type", kind)
        self.send_header("connection", "close")
        self.send_header("content-length", str(len(body) if length is None else length))
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *_):
        """Say nothing."""


def well(call):
    """Answer as an office does that keeps what it is sent."""
    if call.path.endswith("/who"):
        call.gives(200, json.dumps(WHO).encode())
    elif "/reached" in call.path:
        call.gives(200, b'{"schema_version": 1, "logs": []}')
    elif call.command == "POST":
        call.gives(200, b'{"schema_version": 1, "new": ["one"], "logs": []}')
    else:
        call.gives(200, b'{"schema_version": 1, "entries": [], "cursor": 1, "site": null}')


def hangs_up(call):
    call.connection.shutdown(socket.SHUT_RDWR)
    call.close_connection = True


def dies_in_the_middle(call):
    call.gives(200, b'{"schema_version": 1, "na', length=400)
    hangs_up(call)


def told(status, kind):
    problem = {"kind": kind, "status": status, "place": "store", "reason": "R.", "mend": "M."}

    def refused(call):
        call.gives(status, json.dumps(problem).encode(), "application/problem+json")

    return refused


def gives(status, body, kind="text/html"):
    return lambda call: call.gives(status, body, kind)


def elsewhere(call):
    call.send_response(302)
    call.send_header("location", "http://login.invalid/")
    call.send_header("content-length", "0")
    call.end_headers()


HTML = b"<!doctype html><title>Welcome</title>Buy an hour"
MANNERS = {
    "hangs up": (hangs_up, "no-answer"),
    "dies in the middle": (dies_in_the_middle, "no-answer"),
    "breaks off its JSON": (gives(200, b'{"schema_ver', "application/json"), "cut-short"),
    "a portal answers": (gives(200, HTML), "not-office"),
    "a portal leads elsewhere": (elsewhere, "not-office"),
    "a portal wants to be paid": (gives(511, HTML), "down"),
    "some other JSON": (gives(200, b'{"hello": 1}', "application/json"), "not-office"),
    "not even an object": (gives(200, b"null", "application/json"), "not-office"),
    "of tomorrow": (gives(200, b'{"schema_version": 2}', "application/json"), "other-version"),
    "a plain file server": (gives(404, HTML), "none"),
    "a proxy without its office": (gives(502, HTML), "down"),
    "a proxy that refuses": (gives(413, HTML), "not-office"),
    "the store is away": (told(503, "store"), "store"),
    "a fault": (told(500, "fault"), "fault"),
    "logged out": (told(401, "no-log-in"), "no-log-in"),
    "may not": (told(403, "may-not"), "may-not"),
    "other log-in": (told(403, "other-log-in"), "other-log-in"),
}


@pytest.fixture(scope="module")
def chromium():
    with browser() as chromium:
        yield chromium


@contextmanager
def office():
    handler = type("Handler", (Office,), {"manner": staticmethod(well)})
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        try:
            yield handler, f"http://localhost:{server.server_port}"
        finally:
            server.shutdown()
            thread.join()


@pytest.fixture(scope="module")
def phone(chromium):
    """A phone with one entry that the office does not have, and the office's handler."""
    with office() as (handler, address):
        phone = Phone(chromium, address).opens()
        phone.case = phone.begins(e.Opened("jet-pump-cistern"))
        yield phone, handler
        phone.close()


def only(path, manner):
    """Return an office that misbehaves at one call and is well at the others."""
    return lambda call: (manner if path in call.path else well)(call)


@pytest.mark.parametrize("at", ["who", "events"])
@pytest.mark.parametrize("name", MANNERS)
def test_it_is_told_and_nothing_is_lost(phone, name, at):
    phone, handler = phone
    manner, kind = MANNERS[name]
    handler.manner = staticmethod(only(f"/{at}", manner))
    done = phone.merges()
    assert done["trouble"]["kind"] == kind
    assert all(done["trouble"][part] for part in ("place", "reason", "mend"))
    assert "office.trouble" not in done["trouble"]["reason"]
    assert (done["sent"], done["aside"], len(phone.unsent())) == (0, [], 1)
    if at == "who":
        there = phone.does("await officeThere()")
        assert there["there"] == (kind == "no-log-in")
        assert there["trouble"]["kind"] == kind


def test_the_office_is_back_after_a_while_and_it_goes_by_itself(chromium):
    with office() as (handler, address):
        phone = Phone(chromium, address).opens()
        handler.manner = staticmethod(hangs_up)
        phone.begins(e.Opened("jet-pump-cistern"))
        phone.page.clock.install()
        phone.does("(window.told = [], window.touch = keepInTouch(kept, (d) => told.push(d)))")
        phone.awaits("told.length === 1 && told[0].trouble.kind === 'no-answer'")
        phone.page.clock.run_for(7_000)
        phone.awaits("told.length === 2")
        phone.page.clock.run_for(7_000)
        assert phone.does("told.length") == 2  # later and later
        handler.manner = staticmethod(well)
        phone.page.clock.run_for(7_000)
        phone.awaits("told.length === 3 && told[2].trouble === null")
        assert phone.unsent() == []
        phone.page.clock.run_for(700_000)
        assert phone.does("told.length") == 3
        phone.close()


def test_nobody_to_answer_at_all(chromium):
    with office() as (_, address):
        phone = Phone(chromium, address).opens()
        phone.begins(e.Opened("jet-pump-cistern"))
    assert phone.merges()["trouble"]["kind"] == "no-answer"
    assert len(phone.unsent()) == 1
    phone.close()
