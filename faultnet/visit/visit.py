"""A visit: its events, the turn that is due, and what each reply leads to."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime
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
    Suspected,
    Told,
    Tried,
    Undone,
)
from faultnet.inference.engine import TooLargeError
from faultnet.model.knowledge import Knowledge
from faultnet.visit import (
    apart,
    as_found,
    chain,
    closing,
    consent,
    dangers,
    differing,
    doing,
    handed_over,
    layouts,
    look_back,
    not_now,
    own_view,
    procedures,
    readings,
    retry,
    seen,
    steps,
    take_along,
    tried,
    walking,
    what_was_wrong,
)
from faultnet.visit.counsel import Counsel
from faultnet.visit.fold import progress_of
from faultnet.visit.progress import Progress
from faultnet.visit.question import picked
from faultnet.visit.sheet import filling
from faultnet.visit.sheet.page import Page
from faultnet.visit.talk import Talk
from faultnet.visit.trouble import ConflictError, conflict_turn, too_large_turn
from faultnet.visit.turn import KEYS, Reply, Turn
from faultnet.visit.whys import why

Due = Callable[[], Turn | None]
"""What asks for a turn; None when it has nothing to ask."""

STAGES: tuple[Callable[[Talk, Progress], Turn | None], ...] = (
    apart.over,
    closing.over,
    lambda _, at: closing.paused(at),
    dangers.stopped,
    handed_over.asked,
    dangers.asked,
    filling.asked,
    closing.leaving,
    picked,
    differing.asked,
    apart.asked,
    walking.current,
    as_found.asked,
    layouts.asked,
    what_was_wrong.asked,
    consent.asked,
    doing.current,
    retry.asked,
    chain.asked,
    seen.asked,
    take_along.asked,
    own_view.asked,
    steps.upcoming,
)
"""What comes first is due first."""

TELL = Reply("t", "tell more", view="search")
BEFORE = Reply("b", "before", view="before")
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
        if what == "change":
            return self._guarded(lambda: self._change(which))
        views = self._views(which)
        return self._guarded(views[what]) if what in views else self.turn

    def _views(self, which: str) -> dict[str, Callable[[], Turn]]:
        return {
            "why": lambda: why(self.talk, self.at),
            "before": lambda: tried.before(self.talk, self.at),
            "tried": lambda: tried.listed(self.talk, int(which)),
            "tried-how": lambda: tried.outcome(self.talk, which),
            "tried-words": tried.words,
            "take-along": lambda: take_along.shown(self.talk, self.at),
            "look-back": lambda: look_back.listed(self.talk, self.at, int(which)),
            "correct": lambda: look_back.corrected(self.talk, self.at, which),
            "else": lambda: what_was_wrong.something_else(self.talk, self.at, which),
            "else-words": lambda: what_was_wrong.in_words(int(which)),
            "not-now": lambda: not_now.reasons(self.talk, which),
            "why-not": lambda: not_now.own_words(self.talk, which),
            "suspect": lambda: own_view.causes(self.talk, which),
            "suspect-words": own_view.words,
            "search": seen.search_turn,
            "seen": lambda: self._with_bar(seen.listed(self.talk, self.at, int(which))),
            "reading": lambda: readings.reading_turn(self.talk, self.at, which),
            "readings": lambda: readings.choice(self.talk, which),
            "ways": closing.ways,
            "how": lambda: procedures.read(self.talk, self.at, which),
            "part": lambda: walking.part_turn(self.talk, self.at),
            "leave": lambda: walking.leave_turn(self.talk, self.at),
            "sheet": lambda: filling.view(self._page, which),
        }

    def typed(self, what: str, text: str) -> AnyEvent | Turn:
        """Return what typed text leads to: an event, or another turn."""
        kind, _, name = what.partition(":")
        if kind == "safe":
            safe = text.strip().lower() == dangers.SAFE
            return MadeSafe(name) if safe else dangers.unsafe_turn(self.turn)
        return self._typed(kind, name, text.strip()) if text.strip() else self.turn

    def _typed(self, kind: str, name: str, text: str) -> AnyEvent | Turn:
        takes: dict[str, Callable[[], AnyEvent | Turn]] = {
            "search": lambda: seen.found_turn(self.talk, self.at, text),
            "reading": lambda: readings.measured(self.talk, self.at, name, text),
            "look": lambda: as_found.read(self.talk, name, text),
            "part": lambda: walking.part_read(self.talk, self.at, text),
            "leave": lambda: walking.left(self.at, text),
            "tried": lambda: Tried(text=text),
            "suspect": lambda: Suspected("", text),
            "else": lambda: what_was_wrong.told_in_words(int(name), text),
            "sheet": lambda: filling.typed(self._page, name, text),
            "why-not": lambda: not_now.put_off(name, text),
        }
        return takes[kind]()

    def _change(self, which: str) -> Turn:
        """What an answer would change; the visit after it is only looked at."""
        about, _, answer = which.partition("=")
        told = Told(about, answer, corrects=True)
        return look_back.change(self.talk, self.at, self.after(told).at, told)

    @property
    def _page(self) -> Page:
        now = datetime.fromtimestamp(self.writer.clock(), UTC).astimezone()
        return Page(self.talk, self.at, now.date())

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
        if turn.kind != "paused" and not self.at.ended:
            bar = [PAUSE, END, STOP]
        if turn.kind in {"step", "set-up", "do", "seen"}:
            bar[:0] = [WHY, look_back.LIST]
        if turn.kind == "seen":
            bar[:0] = [TELL, BEFORE]
        if turn.kind == "step":
            bar.insert(0, take_along.LIST)
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


def opening(
    knowledge: Knowledge,
    who: str,
    handed_over: Mapping[str, str] | None = None,
    heading: str = "A visit",
) -> Turn:
    """Return the turn that asks which system it is, or which case from the phone goes on.

    ``handed_over`` maps open cases that were begun on the phone to how they are named.
    """
    from_phone = [
        Reply(key, f"from the phone: {name}", view=f"case:{case}")
        for key, (case, name) in zip(KEYS, (handed_over or {}).items(), strict=False)
    ]
    systems = [
        Reply(key, system.title, Opened(system.id, who, knowledge=knowledge.version))
        for key, system in zip(KEYS[len(from_phone) :], knowledge.systems.values(), strict=False)
    ]
    title = "Which case, or what stands there?" if from_phone else "What stands there?"
    return Turn("opening", heading, title, (), (*from_phone, *systems), (STOP,))
