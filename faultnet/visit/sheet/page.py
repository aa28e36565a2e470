"""What every turn of the closing sheet works with, and how typed text becomes a line."""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from msgspec.structs import replace

from faultnet.cases.case import Counted
from faultnet.cases.events import AnyEvent
from faultnet.cases.written import sheet_of
from faultnet.model.repair import Repair
from faultnet.visit.progress import Progress
from faultnet.visit.talk import Talk
from faultnet.visit.turn import BACK, KEYS, Line, Reply, Turn, Typed

LONGEST = 300
"""Characters of a text on the sheet."""


class UnfitLineError(ValueError):
    """What was typed makes no line of the sheet; the message tells why and what to type."""


@dataclass(frozen=True)
class Page:
    """Where the visit stands, and the day of whoever fills in the sheet."""

    talk: Talk
    at: Progress
    today: dt.date

    @cached_property
    def lines(self) -> tuple[Counted, ...]:
        """The lines that stand."""
        return sheet_of(self.at.case)

    def has(self, event: AnyEvent) -> bool:
        """Whether a line stands on the sheet as it is."""
        return any(each.entry.event == event for each in self.lines)

    @cached_property
    def repairs(self) -> tuple[Repair, ...]:
        """The repairs that were done, each once."""
        names = dict.fromkeys(name for r in self.at.evidence.rounds for name in r.repairs)
        return tuple(self.talk.subject.knowledge.repairs[name] for name in names)


Asked = Callable[[Page, str], Turn]
"""How something is asked for; the text is what was chosen before."""

Taken = Callable[[Page, str, str], AnyEvent | Turn]
"""What typed text, the last, leads to."""


def one_line(text: str) -> str:
    """Return typed text on one line; raise ``UnfitLineError`` for none, or far too much."""
    shown = "".join(c if c.isprintable() else " " for c in text)
    line = " ".join(shown.split())
    if not any(c.isalnum() for c in line):
        raise UnfitLineError(f"`{line[:40]}` says nothing. Write a few words, or go back.")
    if len(line) > LONGEST:
        raise UnfitLineError(f"That is too long: {LONGEST} characters at most.")
    return line


def fields(text: str, most: int) -> tuple[str, ...]:
    """Return texts that are typed with commas between; the last may hold commas itself."""
    found = tuple(map(str.strip, text.split(",", most - 1)))
    return (*found, *[""] * (most - len(found)))


def asking(title: str, what: str, prompt: str, lines: tuple[Line, ...] = ()) -> Turn:
    """Return a turn that wants text."""
    typed = Typed(f"sheet:{what}", f"{prompt}:")
    return Turn("sheet-text", "The sheet", title, lines, (BACK,), typed=typed)


def choosing(title: str, offered: list[Reply], other: Reply, lines: tuple[Line, ...] = ()) -> Turn:
    """Return a turn that offers something by number, and something else by letter."""
    keyed = (replace(each, key=key) for key, each in zip(KEYS, offered, strict=False))
    return Turn("sheet-list", "The sheet", title, lines, (*keyed, other, BACK))


def in_words(
    title: str, what: str, prompt: str, then: Callable[[Page, str], AnyEvent | Turn]
) -> tuple[Asked, Taken]:
    """Return how somebody's own words are asked for, and what they lead to."""

    def asks(_: Page, __: str) -> Turn:
        return asking(title, what, prompt)

    def takes(page: Page, _: str, text: str) -> AnyEvent | Turn:
        return then(page, one_line(text))

    return asks, takes
