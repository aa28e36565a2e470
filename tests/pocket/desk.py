"""The page with the desk's Python behind it: it is served, and what it asks is answered over HTTP.

The page is the one that ships. Only what thinks and what copies editions are others here: these
need a browser that runs Python, and have tests of their own. The moment in which no tap is taken is
shorter, so that nobody waits; what is about that moment sets the page's own.
"""

import http.server
import json
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Self

from playwright.sync_api import Page, ViewportSize

import faultnet.pocket
from faultnet.model.knowledge import Knowledge
from faultnet.pocket.talk.answering import Talking

PAGE = Path(faultnet.pocket.__file__).parent / "page"

THINKER = """export function thinker() {
  const ask = async (name, given = {}) => {
    const how = { method: "POST", body: JSON.stringify(given) };
    const answer = await (await fetch(`ask/${name}`, how)).json();
    const { trouble } = answer;
    if (trouble) throw Object.assign(new Error(trouble.reason), { told: trouble });
    return answer;
  };
  return { ready: ask("about"), ask, progress() {} };
}"""

EDITION = """let now = { kept: true, fetching: null, newer: null, lasting: true, trouble: null };
const watchers = [];
export const state = () => now;
export const on = (change) => { watchers.push(change); change(now); };
export const settled = async () => {};
export const take = async () => { location.reload(); return true; };
globalThis.offer = () => {
  now = { ...now, newer: { edition: "b", knowledge: "b", faultnet: "0", ready: true } };
  for (const watcher of watchers) watcher(now);
};"""

OTHERS = {"/thinker.js": THINKER, "/edition.js": EDITION}

MOMENT = "SOON = 600;"
"""The moment in which the page takes no tap."""

PHONE: ViewportSize = {"width": 390, "height": 844}
Keys = Sequence[str | tuple[str]]
"""Keys that are pressed; a text in a tuple is typed."""
TO_STEP: Keys = ("n", "s", "s", "t", ("gauge falls",), "1", "y", "", "")
"""Keys up to the first step."""
TO_TIMER: Keys = (*TO_STEP, "h", "3", "w", "", "")
"""Keys from there to a step of a procedure that has a timer."""

REST = "main[data-screen]:not([data-rests], [data-busy], [aria-busy])"
"""The page once a screen stands and takes taps."""


class Desk:
    """What answers the page: the thinking, and an office where ``office`` holds its answers."""

    def __init__(self, knowledge: Knowledge) -> None:
        self.talking = Talking(knowledge)
        self.lock = threading.Lock()
        self.office: dict[str, Any] = {}
        self.moment = "SOON = 250;"
        self.address = ""

    def ask(self, name: str, given: str) -> str:
        """Return what the thinking answers, as text."""
        with self.lock:
            return self.talking.answer(name, given)

    def told(self, name: str, **given: Any) -> dict[str, Any]:
        """The same for tests that ask by themselves."""
        told: dict[str, Any] = json.loads(self.ask(name, json.dumps(given)))
        return told


@contextmanager
def serving(knowledge: Knowledge) -> Iterator[Desk]:
    """Serve the page; yield the desk behind it."""
    desk = Desk(knowledge)

    class Answering(http.server.SimpleHTTPRequestHandler):
        def __init__(self, *given: Any) -> None:
            super().__init__(*given, directory=str(PAGE))

        def do_GET(self) -> None:
            path = self.path.partition("?")[0]
            if path in OTHERS:
                self.answered(OTHERS[path], "text/javascript")
            elif path == "/guard.js":
                guard = (PAGE / "guard.js").read_text("utf-8")
                assert MOMENT in guard
                self.answered(guard.replace(MOMENT, desk.moment), "text/javascript")
            elif path in desk.office:
                self.answered(json.dumps(desk.office[path]), "application/json")
            else:
                super().do_GET()

        def do_POST(self) -> None:
            given = self.rfile.read(int(self.headers["content-length"])).decode()
            self.answered(desk.ask(self.path.rpartition("/")[2], given), "application/json")

        def answered(self, text: str, kind: str) -> None:
            data = text.encode()
            self.send_response(200)
            self.send_header("content-type", kind)
            self.send_header("content-length", str(len(data)))
            self.end_headers()
            self.wfile.write(data)

        def log_message(self, *_: object) -> None:
            """Say nothing."""

    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), Answering) as server:
        desk.address = f"http://localhost:{server.server_port}/"
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        try:
            yield desk
        finally:
            server.shutdown()
            thread.join()


class Thumb:
    """Somebody who taps at the page, and waits as long as it takes."""

    def __init__(self, page: Page, address: str) -> None:
        self.page, self.address = page, address

    def open(self, name: str = "Ada Orquay") -> Self:
        """Open the page for the first time."""
        self.page.goto(self.address)
        self.rest()
        self.page.fill("#typed", name)
        return self.tap("That is me")

    def rest(self) -> Self:
        """Wait until a screen stands."""
        self.page.wait_for_selector(REST, timeout=60_000)
        return self

    def tap(self, *labels: str, exact: bool = False) -> Self:
        """Tap targets, one after the other; each leads to a screen."""
        for label in labels:
            self.rest()
            self.page.get_by_role("button", name=label, exact=exact).first.click()
            self.page.wait_for_timeout(30)
            self.rest()
        return self

    def keys(self, text: str) -> Self:
        """Tap keys of the keypad."""
        for key in text:
            self.page.locator(f'.pad [data-key="{key}"]').click()
        return self

    def begin(self) -> Self:
        """Begin a case of a house with a cistern."""
        return self.tap("New case", "Jet pump drawing from a cistern")

    def back(self) -> Self:
        """Tap what stands first in the bar."""
        self.rest()
        self.page.locator("footer nav button").first.click()
        self.page.wait_for_timeout(30)
        return self.rest()

    @property
    def title(self) -> str:
        return self.page.locator("h1").inner_text()

    @property
    def told(self) -> str:
        return self.page.locator("#told").inner_text()

    def entries(self) -> list[dict[str, Any]]:
        """Return what is on the disk of the phone."""
        found: list[dict[str, Any]] = self.page.evaluate(
            """async () => {
                const kept = await (await import("./kept.js")).openKept();
                const logs = await kept.logs();
                const all = await Promise.all(logs.map(({ id }) => kept.entries(id)));
                kept.close();
                return all.flat();
            }"""
        )
        return found


def walked(desk: Desk, keys: Keys, author: str = "desk@0123456789ab") -> dict[str, Any]:
    """Return the file of a case in which these keys were pressed; a text in a tuple is typed."""
    begun = desk.told("begin", author=author, system="jet-pump-cistern")
    entries: list[dict[str, Any]] = begun["entries"]
    seen: dict[str, Any] = {}
    for key in keys:
        reply = {"typed": key[0]} if isinstance(key, tuple) else {"key": key}
        given = {"author": author, "entries": entries, "last": entries[-1]["id"], **seen, **reply}
        outcome = desk.told("reply", **given)
        assert not {"trouble", "unknown"} & outcome.keys(), (key, outcome)
        kept = outcome.pop("entries", [])
        entries = [*entries, *kept]
        seen = {} if kept else outcome
    return desk.told("casefile", entries=entries)


def carried(thumb: Thumb, desk: Desk, keys: Keys) -> Thumb:
    """Open a case from a file, in which these keys were pressed."""
    made = walked(desk, keys)
    thumb.tap("A file")
    thumb.page.locator("#file").set_input_files(
        {"name": made["name"], "mimeType": "application/json", "buffer": made["text"].encode()}
    )
    thumb.page.wait_for_selector("main[data-screen=turn]")
    return thumb.rest()
