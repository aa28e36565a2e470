"""The pages served to a real browser, and a case walked through them by its buttons."""

import shutil
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import uvicorn
from playwright.sync_api import Browser, Page, sync_playwright
from starlette.applications import Starlette

from faultnet.authoring.shipped import shipped_folder
from faultnet.web.app import application
from faultnet.web.server import Server
from faultnet.web.settings import Settings

CHROMIUM = shutil.which("chromium") or ""
"""Debian's; nothing is downloaded."""

PATIENCE = 30.0
"""Seconds after which a server that does not stop is a fault."""

TO_SEEN = ("n", "s", "s")
"""Keys from the first question to what is seen and heard."""

TO_STEP = ("", "")
"""Keys from there to the first step, once something was told."""

TO_TIMER = ("h", "3", "w", "", "", "t")
"""Keys from a step to the timer of a hold test."""

FLAGS = ("--no-sandbox", "--disable-gpu", "--disable-quic", "--disable-background-networking")


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """Serve the shipped knowledge over a store in a folder; yield the address."""
    settings = Settings(folder, shipped_folder(), f"sqlite:///{folder / 'cases.db'}")
    with running(application(settings)) as address:
        yield address


@contextmanager
def running(app: Starlette) -> Iterator[str]:
    """Serve an application from a thread; yield the address."""
    config = uvicorn.Config(app, port=0, log_level="error")
    server = Server(config)
    thread = threading.Thread(target=server.run)
    thread.start()
    try:
        while not server.started:
            assert thread.is_alive(), "the server did not start"
            time.sleep(0.05)
        port = server.servers[0].sockets[0].getsockname()[1]
        yield f"http://localhost:{port}"
    finally:
        server.should_exit = True
        thread.join(PATIENCE)
        assert not thread.is_alive(), "the server does not stop"


@contextmanager
def browser() -> Iterator[Browser]:
    """Yield a browser."""
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))
        try:
            yield chromium
        finally:
            chromium.close()


def press(page: Page, *keys: str) -> None:
    """Press the buttons of these keys, one page after the other."""
    for key in keys:
        with page.expect_navigation():
            page.locator(f'button[name="key"][value="{key}"]').first.click()


def begin(page: Page, address: str, speaker: str = "technician") -> None:
    """Begin a case of a house with a cistern."""
    page.goto(f"{address}/new")
    page.locator(f'input[value="{speaker}"]').check()
    with page.expect_navigation():
        page.locator('button[value="jet-pump-cistern"]').click()


def step(page: Page, address: str) -> None:
    """Begin a case and answer what comes before the first step."""
    begin(page, address)
    press(page, *TO_SEEN, "t")
    page.fill("#typed", "gauge falls")
    with page.expect_navigation():
        page.locator("button.go").click()
    press(page, "1", "y", *TO_STEP)


TO_QUESTIONS = ("n", "n", "n", "2", "", "n")
"""Keys of a call from danger to what is wrong: no danger, a baby, nobody at the pump."""

TYPED = {
    "Words:": "no water since last night",
    "Name:": "Mill at Orquay",
    "Call-back:": "0555 0101",
    "Address:": "Weir Lane 1",
    "Access:": "Dog; pump in the cellar",
    "People:": "4",
    "Water left:": "600",
    "Drive:": "35",
}
"""What is typed for each field of the call sheet; all of it invented."""


def call(page: Page, address: str, until: str = "What it comes to") -> None:
    """Talk through a call about no water, up to a heading."""
    begin(page, address, "caller")
    press(page, *TO_QUESTIONS)
    while page.locator("p.kind").first.inner_text() != until:
        if page.locator("#typed").count():
            page.fill("#typed", TYPED[page.locator('label[for="typed"]').inner_text()])
            with page.expect_navigation():
                page.locator("form button.go").click()
        elif page.locator("h1").inner_text().startswith("Which is it?"):
            press(page, "1", "")
        else:
            press(page, "n")
