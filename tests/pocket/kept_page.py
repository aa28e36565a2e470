"""What a phone keeps, on a page of its own: the scripts served, Chromium over a profile, events."""

import functools
import http.server
import threading
from contextlib import contextmanager
from pathlib import Path

import faultnet.pocket
from tests.web.serving import CHROMIUM, FLAGS

PAGE = Path(faultnet.pocket.__file__).parent / "page"
EMPTY = b"<!doctype html><html lang=en><meta charset=utf-8><title>Kept</title>"

OPEN = """async () => {
  const { openKept } = await import('./kept.js');
  window.kept = await openKept();
}"""

TOLD = """async (work) => {
  try { return { done: await (0, eval)(`(async () => (${work}))()`) }; }
  catch (error) { return { code: error.code, told: error.told, other: error.told ? '' : String(error) }; }
}"""


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
def phone(playwright, profile):
    """Yield a browser with a profile of its own in a folder, as a phone has one."""
    context = playwright.chromium.launch_persistent_context(
        profile, executable_path=CHROMIUM, args=list(FLAGS)
    )
    try:
        yield context
    finally:
        context.close()


def opened(context, port):
    """Return a page that has opened what is kept."""
    page = context.new_page()
    page.goto(f"http://localhost:{port}/")
    page.evaluate(OPEN)
    return page


def told(page, work):
    """Return what a script comes to: {done}, or {code, told} of its trouble."""
    return page.evaluate(TOLD, work)


def event(number, log="20260304-0731-k7m2p", text=""):
    """Return an entry as a phone makes it; all of it invented."""
    return {
        "id": f"019cb7a2-0000-7000-8000-{number:012x}",
        "log": log,
        "author": "ann@0123456789ab",
        "at": f"2026-03-04T07:{number // 60 % 60:02d}:{number % 60:02d}.000Z",
        "number": number,
        "after": [f"019cb7a2-0000-7000-8000-{number - 1:012x}"] if number > 1 else [],
        "event": {"what": "told", "finding": "noted", "answer": text or f"number {number}"},
    }
