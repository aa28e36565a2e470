"""The page with the desk's Python behind it: it is served, and what it asks is answered over HTTP.

The page is the one that ships. Only what thinks and what copies editions are others here: these
need a browser that runs Python, and have tests of their own.
"""

import http.server
import json
import threading
from contextlib import contextmanager
from pathlib import Path

import faultnet.pocket
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

REST = "main[data-screen]:not([data-rests], [data-busy], [aria-busy])"
"""The page once a screen stands and takes taps."""


class Desk:
    """What answers the page: the thinking, and an office where ``office`` holds its answers."""

    def __init__(self, knowledge):
        self.talking = Talking(knowledge)
        self.lock = threading.Lock()
        self.office = {}
        self.address = ""

    def ask(self, name, given):
        """Return what the thinking answers, as text."""
        with self.lock:
            return self.talking.answer(name, given)

    def told(self, name, **given):
        """The same for tests that ask by themselves."""
        return json.loads(self.ask(name, json.dumps(given)))


@contextmanager
def serving(knowledge):
    """Serve the page; yield the desk behind it."""
    desk = Desk(knowledge)

    class Answering(http.server.SimpleHTTPRequestHandler):
        def __init__(self, *given):
            super().__init__(*given, directory=PAGE)

        def do_GET(self):
            path = self.path.partition("?")[0]
            if path in OTHERS:
                self.answered(OTHERS[path], "text/javascript")
            elif path in desk.office:
                self.answered(json.dumps(desk.office[path]), "application/json")
            else:
                super().do_GET()

        def do_POST(self):
            given = self.rfile.read(int(self.headers["content-length"])).decode()
            self.answered(desk.ask(self.path.rpartition("/")[2], given), "application/json")

        def answered(self, text, kind):
            data = text.encode()
            self.send_response(200)
            self.send_header("content-type", kind)
            self.send_header("content-length", str(len(data)))
            self.end_headers()
            self.wfile.write(data)

        def log_message(self, *_):
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

    def __init__(self, page, address):
        self.page, self.address = page, address

    def open(self, name="Ada Orquay"):
        """Open the page for the first time."""
        self.page.goto(self.address)
        self.rest()
        self.page.fill("#typed", name)
        return self.tap("That is me")

    def rest(self):
        """Wait until a screen stands."""
        self.page.wait_for_selector(REST, timeout=60_000)
        return self

    def tap(self, *labels, exact=False):
        """Tap targets, one after the other; each leads to a screen."""
        for label in labels:
            self.rest()
            self.page.get_by_role("button", name=label, exact=exact).first.click()
            self.page.wait_for_timeout(30)
            self.rest()
        return self

    def keys(self, text):
        """Tap keys of the keypad."""
        for key in text:
            self.page.locator(f'.pad [data-key="{key}"]').click()
        return self

    def begin(self):
        """Begin a case of a house with a cistern."""
        return self.tap("New case", "Jet pump drawing from a cistern")

    def back(self):
        """Tap what stands first in the bar."""
        self.rest()
        self.page.locator("footer nav button").first.click()
        self.page.wait_for_timeout(30)
        return self.rest()

    @property
    def title(self):
        return self.page.locator("h1").inner_text()

    @property
    def told(self):
        return self.page.locator("#told").inner_text()

    def entries(self):
        """Return what is on the disk of the phone."""
        return self.page.evaluate(
            """async () => {
                const kept = await (await import("./kept.js")).openKept();
                const logs = await kept.logs();
                const all = await Promise.all(logs.map(({ id }) => kept.entries(id)));
                kept.close();
                return all.flat();
            }"""
        )


def walked(desk, keys, author="desk@0123456789ab"):
    """Return the file of a case in which these keys were pressed; a text in a tuple is typed."""
    begun = desk.told("begin", author=author, system="jet-pump-cistern")
    entries, seen = begun["entries"], {}
    for key in keys:
        reply = {"typed": key[0]} if isinstance(key, tuple) else {"key": key}
        given = {"author": author, "entries": entries, "last": entries[-1]["id"], **seen, **reply}
        outcome = desk.told("reply", **given)
        assert not {"trouble", "unknown"} & outcome.keys(), (key, outcome)
        kept = outcome.pop("entries", [])
        entries = [*entries, *kept]
        seen = {} if kept else outcome
    return desk.told("casefile", entries=entries)
