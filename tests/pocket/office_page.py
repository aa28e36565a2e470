"""A page that keeps and merges, beside a real office: what a phone does, without the thinking."""

import time
from contextlib import contextmanager

import msgspec
from starlette.responses import HTMLResponse
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from faultnet.authoring.shipped import shipped_folder
from faultnet.cases.entry import Entry, Writer
from faultnet.web.app import application
from faultnet.web.settings import Settings
from tests.cases.people import NOON, Clock
from tests.pocket.kept_page import EMPTY, PAGE
from tests.web.serving import PATIENCE, running

POLICY = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; connect-src 'self'"

OPEN = """async () => {
  const { openKept } = await import('./kept.js');
  for (const name of ['office', 'aside', 'touch']) {
    Object.assign(window, await import(`./${name}.js`));
  }
  window.kept = await openKept();
}"""


@contextmanager
def house(folder):
    """Serve an office with the scripts of the page; yield the application and the address."""
    app = application(Settings(folder, shipped_folder(), f"sqlite:///{folder / 'cases.db'}"))

    async def empty(_):
        return HTMLResponse(EMPTY.decode(), headers={"content-security-policy": POLICY})

    mounted = Mount("/pocket", routes=[Route("/", empty), Mount("/", StaticFiles(directory=PAGE))])
    app.router.routes.insert(0, mounted)
    with running(app) as address:
        yield app, address


class Phone:
    """A browser of its own with the page open, and somebody who writes on it."""

    def __init__(self, chromium, address, name="anna", hours=0.0):
        self.context = chromium.new_context()
        self.page = self.context.new_page()
        self.writer = Writer(f"{name}@0123456789ab", Clock(NOON + hours * 3600.0))
        self.address = address

    def opens(self):
        """Open the page."""
        self.page.goto(f"{self.address}/pocket/")
        self.page.evaluate(OPEN)
        return self

    def does(self, work, given=None):
        """Return what a script comes to on the page; ``given`` is what it is handed."""
        return self.page.evaluate(f"async (given) => {{ return {work}; }}", given)

    def offline(self, there=True):
        self.context.set_offline(there)

    def entries(self, log):
        told = self.does("await kept.entries(given)", log)
        return msgspec.convert(told, tuple[Entry, ...])

    def begins(self, event):
        """Begin a case; return its id."""
        entry = self.writer.begin(event)
        self.keeps(entry)
        return entry.log

    def writes(self, log, *events):
        """Write events to a case, each having seen all that is on this phone."""
        for event in events:
            self.keeps(self.writer.entry(log, event, self.entries(log)))

    def keeps(self, *entries):
        self.does("await kept.add(given)", msgspec.to_builtins(entries))

    def takes(self, *cases):
        return self.does("await take(kept, given)", list(cases))

    def merges(self, **how):
        return self.does("await merge(kept, given)", how)

    def awaits(self, what):
        """Wait until a script comes to something true."""
        until = time.monotonic() + PATIENCE
        while not self.does(what):
            assert time.monotonic() < until, what
            self.page.wait_for_timeout(50)

    def unsent(self):
        return [each["id"] for each in self.does("await kept.unsent()")]

    def close(self):
        self.context.close()
