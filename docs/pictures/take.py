"""Take the pictures of docs/pages.md: a phone (390 wide) and a desk (1280 wide).

Run ``PYTHONPATH=. python docs/pictures/take.py`` from the root of the project; it needs
``.[dev]`` and Debian's chromium. The case it walks through is invented.
"""

import tempfile
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import Page

from tests.web.serving import TO_TIMER, begin, browser, call, press, served, step

HERE = Path(__file__).parent
SIZES = {"phone": (390, 800), "desk": (1280, 800)}


def main() -> None:
    """Take them all."""
    with (
        tempfile.TemporaryDirectory() as folder,
        served(Path(folder)) as address,
        browser() as chromium,
    ):
        for device, (width, height) in SIZES.items():
            page = chromium.new_page(viewport={"width": width, "height": height})
            for name, show in SHOWN.items():
                if device == "desk" and name not in ON_DESK:
                    continue
                show(page, address)
                page.screenshot(path=HERE / f"{name}-{device}.png")
            page.close()


def _board(page: Page, address: str) -> None:
    begin(page, address, "caller")
    press(page, "1")
    page.goto(address)


def _call(page: Page, address: str) -> None:
    call(page, address, until="Call sheet")


def _outcome(page: Page, address: str) -> None:
    call(page, address)
    page.goto(page.url.partition("?")[0] + "/outcome")


def _handed_over(page: Page, address: str) -> None:
    _outcome(page, address)
    sheet = page.url
    with page.expect_navigation():
        page.locator("main form button.go").click()
    page.goto(sheet.replace("/calls/", "/cases/").removesuffix("/outcome"))


def _dangers(page: Page, address: str) -> None:
    begin(page, address)


def _why(page: Page, address: str) -> None:
    step(page, address)
    press(page, "w")
    page.evaluate("document.querySelector('#ranking').scrollIntoView()")


def _timer(page: Page, address: str) -> None:
    step(page, address)
    press(page, *TO_TIMER)
    page.get_by_text("Time left:", exact=True).wait_for()


def _search(page: Page, address: str) -> None:
    page.goto(f"{address}/knowledge?q=spits+air")


def _cause(page: Page, address: str) -> None:
    page.goto(f"{address}/knowledge/causes/foot-valve-leaks-slowly")


SHOWN: dict[str, Callable[[Page, str], None]] = {
    "dangers": _dangers,
    "step": step,
    "why": _why,
    "timer": _timer,
    "call": _call,
    "outcome": _outcome,
    "hand-over": _handed_over,
    "board": _board,
    "search": _search,
    "cause": _cause,
}
"""What is shown, in an order that leaves cases for the board."""

ON_DESK = ("why", "cause", "call", "outcome", "board")
"""What differs enough at a desk."""

if __name__ == "__main__":
    main()
