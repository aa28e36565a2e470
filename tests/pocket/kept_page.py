"""What a phone keeps, on a page of its own: the scripts served, Chromium over a profile, events."""

import functools
import http.server
import itertools
import threading
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import sync_playwright

import faultnet.pocket
from tests.web.serving import CHROMIUM, FLAGS

PAGE = Path(faultnet.pocket.__file__).parent / "page"
EMPTY = b"<!doctype html><html lang=en><meta charset=utf-8><title>Kept</title>"
CASE = "20260304-0731-k7m2p"
WORDS = "mill pond weir lane"

INSECURE = "cellar.test"
"""A place of this machine that the browser takes for one reached by plain http."""

OPEN = """async () => {
  const { openKept } = await import('./kept.js');
  window.kept = await openKept();
  window.heard = [];
  kept.onChange((what) => heard.push(what));
}"""

TOLD = """async ([work, given]) => {
  try { return { done: await (0, eval)(`async (given) => (${work})`)(given) }; }
  catch ({ code, told, stack }) { return { code, told, other: stack }; }
}"""

_numbers = itertools.count(1)


class _Files(http.server.SimpleHTTPRequestHandler):
    def do_GET(self):
        if self.path.split("?")[0] != "/":
            return super().do_GET()
        self.send_response(200)
        self.send_header("Content-Type", "text/html; charset=utf-8")
        self.end_headers()
        self.wfile.write(EMPTY)
        return None

    def log_message(self, *_):
        """Say nothing."""


@contextmanager
def scripts():
    """Serve the scripts of the page beside an empty page; yield the port."""
    files = functools.partial(_Files, directory=PAGE)
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), files) as server:
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        try:
            yield server.server_port
        finally:
            server.shutdown()
            thread.join()


@contextmanager
def phone(playwright, profile, *flags):
    """Yield a browser with a profile of its own in a folder, as a phone has one."""
    context = playwright.chromium.launch_persistent_context(
        profile, executable_path=CHROMIUM, args=[*FLAGS, *flags]
    )
    try:
        yield context
    finally:
        context.close()


@pytest.fixture(scope="module")
def kept_browser(tmp_path_factory):
    """A browser with a profile, and the port where the scripts are."""
    profile = tmp_path_factory.mktemp("profile")
    there = f"--host-resolver-rules=MAP {INSECURE} 127.0.0.1"
    with (
        scripts() as port,
        sync_playwright() as playwright,
        phone(playwright, profile, there) as context,
    ):
        yield context, port


@pytest.fixture
def at(kept_browser):
    """A browser, and an address that nothing was kept at."""
    context, port = kept_browser
    yield context, elsewhere(port)
    for page in context.pages[1:]:
        page.close()


def elsewhere(port):
    """Return an address that nothing was kept at; the browser takes it for this machine's."""
    return f"http://place{next(_numbers)}.localhost:{port}/"


def blank(context, address, script=""):
    """Return a page that has opened nothing; a script may have run before all others."""
    page = context.new_page()
    if script:
        page.add_init_script(script)
    page.goto(address)
    return page


def opened(context, address, script=""):
    """Return a page that has opened what is kept."""
    page = blank(context, address, script)
    page.evaluate(OPEN)
    return page


def again(page):
    """Load the page anew, as after a crash of the tab."""
    page.reload()
    page.evaluate(OPEN)
    return page


def told(page, work, given=None):
    """Return what a script comes to: {done}, or {code, told} of its trouble."""
    return page.evaluate(TOLD, [work, given])


def done(page, work, given=None):
    """Return what a script comes to; trouble fails the test."""
    result = told(page, work, given)
    assert "done" in result, result
    return result["done"]


def refused(page, work, given=None):
    """Return the code of the trouble that a script comes to, which is told whole."""
    result = told(page, work, given)
    assert "done" not in result, result
    assert result["told"], result["other"]
    assert all(result["told"][part] for part in ("place", "reason", "mend")), result
    assert "keeping." not in str(result["told"]), result
    assert "{" not in "".join(result["told"].values()), result
    return result["code"]


def ids(entries):
    """Return the ids of entries."""
    return [entry["id"] for entry in entries]


def event(number, log=CASE, text=""):
    """Return an entry as a phone makes it; all of it invented."""
    return {
        "id": f"019cb7a2-0000-7000-8000-{number:012x}",
        "log": log,
        "author": "ann@0123456789ab",
        "at": f"2026-03-04T07:{number // 60 % 60:02d}:{number % 60:02d}.000Z",
        "number": number,
        "after": [f"019cb7a2-0000-7000-8000-{number - 1:012x}"] if number > 1 else [],
        "event": {"what": "noted", "text": text or f"number {number}"},
    }


def events(first, last, log=CASE):
    """Return entries by their numbers."""
    return [event(number, log) for number in range(first, last + 1)]
