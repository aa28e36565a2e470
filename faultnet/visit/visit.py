"""A visit: its events, the turn that is due, and what each reply leads to."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import cached_property, partial
from typing import Self

import msgspec

from faultnet.advice.subject import Subject
from faultnet.cases.counting import last_undoable
from faultnet.cases.entry import Entry, Writer
from faultnet.cases.events import (
    AdviceShown,
    AnyEvent,
    DangerMet,
    MadeSafe,
    Opened,
    Paused,
    Undone,
)
from faultnet.inference.engine import TooLargeError
from faultnet.model.knowledge import Knowledge
from faultnet.visit import (
    closing,
    dangers,
    differing,
    doing,
    layouts,
    procedures,
    readings,
    retry,
    seen,
    steps,
    walking,
)
from faultnet.visit.counsel import Counsel
from faultnet.visit.fold import progress_of
from faultnet.visit.progress import Progress
from faultnet.visit.question import picked
from faultnet.visit.talk import Talk
from faultnet.visit.trouble import ConflictError, conflict_turn, too_large_turn
from faultnet.visit.turn import Reply, Turn, numbered
from faultnet.visit.whys import why

Due = Callable[[], Turn | None]
"""What asks for a turn; None when it has nothing to ask."""

STAGES: tuple[Callable[[Talk, Progress], Turn | None], ...] = (
    closing.over,
    lambda _, at: closing.paused(at),
    dangers.stopped,
    dangers.asked,
    closing.leaving,
    picked,
    differing.asked,
    walking.current,
    layouts.asked,
    retry.asked,
    seen.asked,
    doing.current,
    steps.upcoming,
)
"""What comes first is due first."""

TELL = Reply("t", "tell more", view="search")
WHY = Reply("w", "why", view="why")
PAUSE = Reply("p", "pause", Paused())
HOW = Reply("h", "how to", view="how")
END = Reply("e", "end", view="ways")
STOP = Reply("q", "stop", view="stop")


@dataclass(frozen=True)
class Visit:
    """A visit after its entries; nothing in it changes, a reply makes another.

    ``writer`` is whoever replies.
    """

    talk: Talk
    writer: Writer
    entries: tuple[Entry, ...]
    at: Progress

    def after(self, event: AnyEvent) -> Self:
        """Return the visit after one more event; its entry is the last."""
        return self.having((self.writer.entry(self.id, event, self.entries),))

    def having(self, entries: tuple[Entry, ...]) -> Self:
        """Return the visit with more entries, of whomever they are."""
        entries = (*self.entries, *entries)
        at = progress_of(self.talk.subject, entries, self.writer.author)
        return replace(self, entries=entries, at=at)

    @property
    def id(self) -> str:
        """The id of the case."""
        return self.entries[0].log

    @property
    def events(self) -> tuple[AnyEvent, ...]:
        """The events in the order in which the entries came."""
        return tuple(entry.event for entry in self.entries)

    @property
    def over(self) -> bool:
        """Whether the visit has ended."""
        return bool(self.at.ended)

    @property
    def last(self) -> Entry | None:
        """The last entry that counts and can be taken back."""
        entries = tuple(each.entry for each in self.at.case.entries)
        return last_undoable(entries, self.writer.author)

    @cached_property
    def to_note(self) -> AdviceShown | DangerMet | None:
        """What is worth noting about the turn that is due: the advice or danger it shows."""
        if self.turn.kind == "step":
            return steps.to_note(self.talk, self.at)
        return dangers.to_note(self.talk, self.at) if self.turn.kind == "danger" else None

    @cached_property
    def turn(self) -> Turn:
        """The turn that is due."""
        return self._guarded(self._due)

    def view(self, name: str) -> Turn:
        """Return something to look at; it changes nothing. ``back`` is the turn that is due."""
        what, _, which = name.partition(":")
        views = self._views(which)
        return self._guarded(views[what]) if what in views else self.turn

    def _views(self, which: str) -> dict[str, Callable[[], Turn]]:
        return {
            "why": lambda: why(self.talk, self.at),
            "search": seen.search_turn,
            "seen": lambda: self._with_bar(seen.listed(self.talk, self.at, int(which))),
            "reading": lambda: readings.reading_turn(self.talk, self.at, which),
            "readings": lambda: readings.choice(self.talk, which),
            "ways": closing.ways,
            "how": lambda: procedures.read(self.talk, self.at, which),
            "part": lambda: walking.part_turn(self.talk, self.at),
            "leave": lambda: walking.leave_turn(self.talk, self.at),
        }

    def typed(self, what: str, text: str) -> AnyEvent | Turn:
        """Return what typed text leads to: an event, or another turn."""
        kind, _, name = what.partition(":")
        if kind == "search":
            return seen.found_turn(self.talk, self.at, text) if text.strip() else self.turn
        if kind == "reading":
            return readings.measured(self.talk, self.at, name, text) if text.strip() else self.turn
        if kind in {"part", "leave"}:
            return self._walked(kind, text) if text.strip() else self.turn
        if text.strip().lower() == dangers.SAFE:
            return MadeSafe(name)
        return dangers.unsafe_turn(self.turn)

    def _walked(self, kind: str, text: str) -> AnyEvent | Turn:
        if kind == "leave":
            return walking.left(self.at, text)
        return walking.part_read(self.talk, self.at, text)

    def _due(self) -> Turn:
        for stage in self._stages():
            if turn := stage():
                return self._with_bar(turn)
        raise AssertionError("the last stage always has a turn")

    def _stages(self) -> Iterable[Due]:
        """Return what is asked for a turn, one after the other; the last always has one."""
        return (partial(stage, self.talk, self.at) for stage in STAGES)

    def _guarded(self, make: Callable[[], Turn]) -> Turn:
        try:
            return make()
        except ConflictError as error:
            return self._with_bar(conflict_turn(self.talk.subject, error))
        except TooLargeError as error:
            return self._with_bar(too_large_turn(self.talk.subject, self.at, error))

    def _with_bar(self, turn: Turn) -> Turn:
        bar = [STOP]
        if turn.kind != "paused":
            bar = [PAUSE, END, STOP]
        if turn.kind in {"step", "set-up", "do", "seen"}:
            bar.insert(0, WHY)
        if turn.kind in {"step", "do"}:
            bar.insert(0, TELL)
        if turn.kind in {"step", "set-up", "do"} and turn.reply(HOW.key) is None:
            bar.insert(1, HOW)
        if self.last is not None:
            bar.insert(0, Reply("u", "undo", Undone(self.last.id)))
        return msgspec.structs.replace(turn, bar=() if turn.kind == "ended" else tuple(bar))


def visit_of(
    subject: Subject, entries: tuple[Entry, ...], writer: Writer, seconds: float = 0.0
) -> Visit:
    """Return the visit that has these entries, for whoever replies.

    ``seconds`` may be spent on each step to look further ahead.
    """
    at = progress_of(subject, entries, writer.author)
    who = at.case.sitting(writer.author).who
    return Visit(Talk(subject, Counsel(subject, who, seconds)), writer, entries, at)


def opening(knowledge: Knowledge, who: str, heading: str = "A new visit") -> Turn:
    """Return the turn that asks which system it is."""
    labels: dict[str, AnyEvent] = {
        system.title: Opened(system.id, who, knowledge=knowledge.version)
        for system in knowledge.systems.values()
    }
    return Turn("opening", heading, "What stands there?", (), numbered(labels), (STOP,))
