"""What the pages of the kills told, and what is wrong with what they found."""

import threading
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

MARK = "Weir Lane"
"""Stands in the text of every event."""

PATIENCE = 60.0
"""Seconds after which a page that tells nothing is a fault."""


@dataclass
class Tally:
    """What was seen, added up over the kills."""

    kills: int = 0
    acknowledged: int = 0
    lost: int = 0
    doubled: int = 0
    spoilt: int = 0
    unsent_again: int = 0
    damaged: int = 0
    words_wrong: int = 0
    kept_unacknowledged: int = 0
    killed_while_words_changed: int = 0
    files_in_the_clear: int = 0

    @property
    def bad(self) -> int:
        """What must be nothing."""
        wrong = (self.lost, self.doubled, self.spoilt, self.unsent_again, self.damaged)
        return sum(wrong) + self.words_wrong


@dataclass
class Heard:
    """What pages told: ``begun``, ``kept`` and ``sent`` events, and whether there are ``words``."""

    kept: set[str] = field(default_factory=set)
    sent: set[str] = field(default_factory=set)
    begun: set[str] = field(default_factory=set)
    words: bool = False
    changing: bool = False
    run: int = 0
    transactions: int = 0
    found: bool = False
    trouble: str = ""
    tally: Tally = field(default_factory=Tally)
    changed: threading.Condition = field(default_factory=threading.Condition)

    def take(self, what: str, run: int, given: Any) -> None:
        """Take in what the page of this run told; what an older one told comes too late."""
        with self.changed:
            if run != self.run:
                return
            self.transactions += what in ("kept", "sent")
            if what in ("kept", "sent", "begun"):
                getattr(self, what).update(given)
            elif what in ("setting", "set"):
                self.changing = what == "setting"
                self.words = given[0] if what == "set" else self.words
            elif what == "found":
                self._compare(given)
            else:
                self.trouble = given
            self.tally.acknowledged += len(given) if what == "kept" else 0
            self.changed.notify_all()

    def _compare(self, found: dict[str, Any]) -> None:
        """Compare what a browser found when it was opened with what was acknowledged before."""
        tally, times = self.tally, Counter(entry["id"] for entry in found["entries"])
        tally.lost += len(self.kept - times.keys())
        tally.doubled += sum(number - 1 for number in times.values())
        tally.spoilt += sum(e["event"]["text"] != text_of(e["id"]) for e in found["entries"])
        tally.spoilt += len(times.keys() - self.begun)
        tally.unsent_again += len(self.sent & set(found["unsent"]))
        tally.damaged += len(found["damaged"])
        tally.words_wrong += not self.changing and found["hasWords"] != self.words
        tally.killed_while_words_changed += self.changing
        tally.kept_unacknowledged += len(times.keys() - self.kept)
        self.kept |= times.keys()  # what is there now has to stay
        self.words, self.changing, self.found = found["hasWords"], False, True

    def next_run(self) -> int:
        """Count a run, whose page alone is heard from now on."""
        with self.changed:
            self.run, self.found = self.run + 1, False
            return self.run

    def wait(self, until: Callable[[], bool]) -> None:
        """Return once something holds; raise where the page tells trouble, or nothing at all."""
        with self.changed:
            if not self.changed.wait_for(lambda: self.trouble or until(), PATIENCE):
                raise TimeoutError("the page tells nothing")
            if self.trouble:
                raise RuntimeError(self.trouble)


def text_of(name: str) -> str:
    """Return the text of an event by its id."""
    number = int(name.removeprefix("e-"))
    return f"{MARK} {number} {'x' * (number * 7919 % 3000)}"
