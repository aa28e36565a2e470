"""A visit: its events, the turn that is due, and what each reply leads to."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property

import msgspec

from faultnet.advice.subject import Subject
from faultnet.inference.engine import TooLargeError
from faultnet.model.knowledge import Knowledge
from faultnet.visit import (
    closing,
    dangers,
    doing,
    layouts,
    procedures,
    readings,
    retry,
    seen,
    steps,
)
from faultnet.visit.counsel import Counsel
from faultnet.visit.events import Event, MadeSafe, Opened, Paused, Undone, counting, last_undoable
from faultnet.visit.fold import after, progress_of
from faultnet.visit.progress import Progress
from faultnet.visit.question import picked
from faultnet.visit.talk import Talk
from faultnet.visit.trouble import ConflictError, conflict_turn, too_large_turn
from faultnet.visit.turn import Reply, Turn, numbered
from faultnet.visit.whys import why

STAGES: tuple[Callable[[Talk, Progress], Turn | None], ...] = (
    closing.over,
    lambda _, at: closing.paused(at),
    dangers.stopped,
    dangers.asked,
    closing.leaving,
    picked,
    layouts.asked,
    retry.asked,
    seen.asked,
    doing.current,
    steps.upcoming,
)
"""What comes first is due first."""

TELL = Reply("t", "tell more", view="search")
WHY = Reply("w", "why", view="why")
UNDO = Reply("u", "undo", Undone())
PAUSE = Reply("p", "pause", Paused())
END = Reply("e", "end", view="ways")
STOP = Reply("q", "stop", view="stop")


@dataclass(frozen=True)
class Visit:
    """A visit after its events; nothing in it changes, a reply makes another."""

    talk: Talk
    events: tuple[Event, ...]
    at: Progress

    def after(self, event: Event) -> "Visit":
        """Return the visit after one more event."""
        events = (*self.events, event)
        if isinstance(event, Undone):
            return replace(self, events=events, at=progress_of(self.talk.subject, events))
        return replace(self, events=events, at=after(event, self.talk.subject, self.at))

    @property
    def over(self) -> bool:
        """Whether the visit has ended."""
        return bool(self.at.ended)

    @property
    def last(self) -> Event | None:
        """The last event that counts and can be taken back."""
        events = counting(self.events)
        place = last_undoable(events)
        return None if place is None else events[place]

    @cached_property
    def turn(self) -> Turn:
        """The turn that is due."""
        return self._guarded(self._due)

    def view(self, name: str) -> Turn:
        """Return something to look at; it changes nothing. ``back`` is the turn that is due."""
        what, _, which = name.partition(":")
        views: dict[str, Callable[[], Turn]] = {
            "why": lambda: why(self.talk, self.at),
            "search": seen.search_turn,
            "seen": lambda: self._with_bar(seen.listed(self.talk, self.at, int(which))),
            "reading": lambda: readings.reading_turn(self.talk, which),
            "ways": closing.ways,
            "how": lambda: procedures.read(self.talk, which),
        }
        return self._guarded(views[what]) if what in views else self.turn

    def typed(self, what: str, text: str) -> Event | Turn:
        """Return what typed text leads to: an event, or another turn."""
        kind, _, name = what.partition(":")
        if kind == "search":
            return seen.found_turn(self.talk, self.at, text) if text.strip() else self.turn
        if kind == "reading":
            return readings.measured(self.talk, name, text) if text.strip() else self.turn
        if text.strip().lower() == dangers.SAFE:
            return MadeSafe(name)
        return dangers.unsafe_turn(self.turn)

    def _due(self) -> Turn:
        for stage in STAGES:
            turn = stage(self.talk, self.at)
            if turn:
                return self._with_bar(turn)
        raise AssertionError("the last stage always has a turn")

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
        if self.last is not None:
            bar.insert(0, UNDO)
        return msgspec.structs.replace(turn, bar=() if turn.kind == "ended" else tuple(bar))


def visit_of(subject: Subject, events: tuple[Event, ...]) -> Visit:
    """Return the visit that has these events; the first says how it was opened."""
    opened = events[0]
    who = opened.who if isinstance(opened, Opened) else "technician"
    talk = Talk(subject, Counsel(subject, who))
    return Visit(talk, events, progress_of(subject, events))


def opening(knowledge: Knowledge, who: str) -> Turn:
    """Return the turn that asks which system it is."""
    labels: dict[str, Event] = {
        system.title: Opened(system.id, who, knowledge=knowledge.version)
        for system in knowledge.systems.values()
    }
    return Turn("opening", "A new visit", "What stands there?", (), numbered(labels), (STOP,))
