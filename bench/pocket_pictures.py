"""Make the pictures of docs/pocket.md anew.

Run ``python bench/pocket_pictures.py``. The page stands at the size of a phone, over the thinking
of the desk; all that is told is invented.
"""

import io
from collections.abc import Callable
from pathlib import Path
from typing import Any

from PIL import Image
from playwright.sync_api import Browser, Page

from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.store import load
from tests.pocket.desk import PHONE, TO_STEP, TO_TIMER, Desk, Thumb, carried, serving
from tests.web.serving import browser

PICTURES = Path(__file__).resolve().parents[1] / "docs" / "pictures"
COLOURS = 32
SUN = "() => document.documentElement.toggleAttribute('data-sun', true)"

Walk = Callable[[Thumb, Desk], None]


def keep(page: Page, name: str) -> None:
    """Keep a picture of what stands there, in few colours."""
    page.wait_for_timeout(300)
    picture = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
    picture.quantize(COLOURS).save(PICTURES / f"pocket-{name}.png", optimize=True)


def around(thumb: Thumb, _: Desk) -> None:
    """From the first screen to a danger, a number and the words of the lock."""
    keep(thumb.page, "first")
    keep(thumb.begin().page, "dangers")
    keep(thumb.tap("Tingle or shock").page, "stop")
    keep(thumb.tap("undo", "none of these").keys("44.5").page, "number")
    keep(thumb.tap("undo", "Cases", "This phone", "Lock with words").page, "words")


def at_a_step(thumb: Thumb, desk: Desk) -> None:
    """A step in full sun, and the causes."""
    carried(thumb, desk, TO_STEP)
    keep(thumb.page, "step")
    thumb.page.evaluate(SUN)
    keep(thumb.page, "sun")
    keep(thumb.tap("Causes").page, "causes")


def in_the_dark(thumb: Thumb, desk: Desk) -> None:
    """The same step on a phone that is set to dark."""
    carried(thumb, desk, TO_STEP)
    keep(thumb.page, "dark")


def timing(thumb: Thumb, desk: Desk) -> None:
    """A timer that runs."""
    keep(carried(thumb, desk, TO_TIMER).tap("Timer 3 min").page, "timer")


def walked(chromium: Browser, desk: Desk, walk: Walk, **look: Any) -> None:
    """Go a way on a phone of its own."""
    context = chromium.new_context(viewport=PHONE, has_touch=True, reduced_motion="reduce", **look)
    walk(Thumb(context.new_page(), desk.address).open("Ada Orquay"), desk)
    context.close()


def main() -> None:
    """Make all of them."""
    with serving(load(shipped_folder())) as desk, browser() as chromium:
        for walk in (around, at_a_step, timing):
            walked(chromium, desk, walk)
        walked(chromium, desk, in_the_dark, color_scheme="dark")


if __name__ == "__main__":
    main()
