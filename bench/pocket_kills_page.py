"""Kill the browser in the middle of a visit on the whole page, and look what it kept.

    faultnet pocket cellar && python bench/pocket_kills_page.py cellar --kills 20

Somebody taps through visits as they come. Whenever the page shows another screen, the events so far
count as acknowledged. At a random moment around a tap all processes of the browser are killed
(SIGKILL); it is started anew, has to come back to a case, and everything acknowledged must be
there, once. ``bench/pocket_kills.py`` does the same to the keeping alone, much faster.
"""

import argparse
import functools
import http.server
import random
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

import click
from playwright.sync_api import Error, Page, Playwright, sync_playwright
from playwright.sync_api import TimeoutError as Late
from pocket_kills import browser

PATIENCE = 120.0
"""Seconds after which a page that does not come is a fault."""

SOON = 4.0
"""Seconds in which a tap leads to another screen, if it does."""

TURNS = 4
"""Turns that are walked at most before a kill."""

LONGEST = 0.5
"""Seconds from the last tap to the kill, at most."""

KEPT = """async () => {
  window.looking ??= (await import('./kept.js')).openKept();
  const kept = await looking;
  const all = await Promise.all((await kept.logs()).map(({ id }) => kept.entries(id)));
  return all.flat().map(({ id }) => id);
}"""

SHOWN = """() => {
  const { screen } = document.querySelector('#screen').dataset;
  return screen && [screen, document.querySelector('#screen').textContent];
}"""


@dataclass
class Walk:
    """What was seen: ``known`` are the ids of events that the page had shown as kept."""

    dice: random.Random
    known: set[str] = field(default_factory=set)
    kills: int = 0
    turns: int = 0
    lost: int = 0
    doubled: int = 0
    came_back: int = 0

    def compare(self, page: Page) -> None:
        """Compare what is kept with what was acknowledged."""
        found = page.evaluate(KEPT)
        self.lost += len(self.known - set(found))
        self.doubled += len(found) - len(set(found))
        self.known |= set(found)

    def visit(self, page: Page) -> None:
        """Walk some turns; the last tap may not have been answered when this returns."""
        for _ in range(self.dice.randint(1, TURNS)):
            before = ",".join(shown(page))
            self.tap(page)
            if changed(page, before):
                self.turns += 1
            self.compare(page)
        self.tap(page)
        time.sleep(self.dice.uniform(0, LONGEST))

    def tap(self, page: Page) -> None:
        """Tap one of the replies; a name or a number is typed where it is asked for."""
        for field_ in page.locator("#screen input:visible").all():
            if field_.get_attribute("type") in (None, "text"):
                field_.fill("7")
        replies = page.locator("#screen .replies button:visible:enabled")
        replies.first.wait_for()
        replies.nth(self.dice.randrange(min(replies.count(), 3))).click()


def shown(page: Page) -> list[str]:
    """Return the screen and its words once there is one."""
    page.wait_for_function(SHOWN)
    found: list[str] = page.evaluate(SHOWN)
    return found


def changed(page: Page, before: str) -> bool:
    """Whether another screen comes soon; a tap need not lead to one."""
    other = f"(before) => {{ const now = ({SHOWN})(); return now && now.join() !== before; }}"
    try:
        page.wait_for_function(other, arg=before, timeout=1000 * SOON)
    except Late:
        return False
    return True


class Quiet(http.server.SimpleHTTPRequestHandler):
    """Serves files and says nothing."""

    def log_message(self, *_: Any) -> None:
        """Say nothing."""


@contextmanager
def serving(folder: Path) -> Iterator[str]:
    """Serve the page; yield its address."""
    handler = functools.partial(Quiet, directory=folder)
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        try:
            yield f"http://localhost:{server.server_port}/"
        finally:
            server.shutdown()


def port_of(profile: Path) -> str:
    """Return where the browser of a profile is reached, once it says so."""
    said = profile / "DevToolsActivePort"
    end = time.monotonic() + PATIENCE
    while not (said.is_file() and said.read_text().count("\n")):
        if time.monotonic() > end:
            raise TimeoutError("the browser does not come")
        time.sleep(0.05)
    return said.read_text().splitlines()[0]


def kill(playwright: Playwright, address: str, profile: Path, walk: Walk) -> None:
    """Start the browser, compare, walk, and kill it."""
    (profile / "DevToolsActivePort").unlink(missing_ok=True)
    with browser(profile, address):
        chromium = playwright.chromium.connect_over_cdp(f"http://localhost:{port_of(profile)}")
        page = chromium.contexts[0].pages[0]
        page.set_default_timeout(1000 * PATIENCE)
        screen, _ = shown(page)
        walk.compare(page)
        walk.came_back += screen == "turn"
        walk.visit(page)
    try:
        chromium.close()
    except Error:
        return  # it is gone, as it should be


def main() -> int:
    """Walk and kill; 1 where anything was lost or doubled."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("folder", type=Path, help="what `faultnet pocket` wrote")
    parser.add_argument("--kills", type=int, default=20)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    walk = Walk(random.Random(given.seed))
    with (
        tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile,
        serving(given.folder) as address,
        sync_playwright() as playwright,
    ):
        for _ in range(given.kills):
            kill(playwright, address, Path(profile), walk)
            walk.kills += 1
    told = {name: n for name, n in asdict(walk).items() if isinstance(n, int)}
    click.echo(f"{', '.join(f'{name} {n}' for name, n in told.items())}, events {len(walk.known)}")
    return 1 if walk.lost or walk.doubled else 0


if __name__ == "__main__":
    sys.exit(main())
