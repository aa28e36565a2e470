"""A phone with the whole page: it thinks by itself, and the desk looks over its shoulder."""

import re

import msgspec
from playwright.sync_api import expect

from faultnet.cases.entry import Entry, Writer
from faultnet.cases.fold import fold
from faultnet.visit.glance import Glance, led_to, turn_at
from faultnet.visit.visit import visit_of
from tests.pocket.desk import Thumb

READY = 120_000
"""Milliseconds after which a page that is not ready without signal is a fault."""


LEFT_OUT = re.compile("Not read: leave it out|As known: ")
SOON = 30_000
"""Milliseconds after which a tap that leads nowhere is a fault."""


class Whole(Thumb):
    """Somebody who taps what a key of the desk says; every screen is compared with the desk's.

    ``told`` counts the turns that were the same.
    """

    def __init__(self, page, address, subject):
        super().__init__(page, address)
        page.set_default_timeout(SOON)
        self.subject, self.glance, self.told_same = subject, Glance(), 0

    def ready(self, name="Ada Orquay"):
        """Open the page for the first time, and stay connected until it says one may go."""
        self.open(name)
        expect(self.page.get_by_text("Ready to work without signal.")).to_be_visible(timeout=READY)
        return self

    def kept(self):
        """Return the entries of the one case on the disk."""
        return msgspec.convert(self.entries(), tuple[Entry, ...])

    def folded(self):
        """Return where the desk finds the case that is on the phone."""
        return fold(self.subject, self.kept())

    def looked_at(self):
        """Return the visit of the desk, and its turn; what the phone shows must be that."""
        self.rest()
        entries = self.kept()
        writer = Writer(self.page.evaluate(AUTHOR))
        visit = visit_of(self.subject, entries, writer)
        turn = turn_at(visit, self.glance)
        assert self.title == (turn.title or turn.heading)
        self.told_same += 1
        return visit, turn

    def press(self, *keys):
        """Tap what stands for these keys, one screen after the other."""
        for key in keys:
            visit, turn = self.looked_at()
            reply = turn.reply(key)
            assert reply, (key, turn)
            if reply not in turn.replies and key != "u":
                self.tap("Other")
            self.tap(reply.label, exact=True)
            self._leads(led_to(visit, self.glance, key, ""))
        return self

    def pick(self, label):
        """Tap what is labelled so."""
        _, turn = self.looked_at()
        found = [reply.key for reply in turn.replies if reply.label == label]
        assert found, (label, [reply.label for reply in turn.replies])
        return self.press(found[0])

    def read(self, *numbers):
        """Tap numbers on the keypad; None leaves one out."""
        self.looked_at()
        for number in numbers:
            if number is None:
                self.tap(LEFT_OUT)
            else:
                self.keys(number).tap(f"Use {number}")
        self._leads(None)
        return self

    def again(self):
        """Load the page anew."""
        self.page.reload()
        return self.rest()

    def _leads(self, outcome):
        self.glance = outcome if isinstance(outcome, Glance) else Glance()


AUTHOR = """async () => {
    const kept = await (await import("./kept.js")).openKept();
    const author = await kept.setting("author");
    kept.close();
    return author;
}"""
