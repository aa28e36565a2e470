"""A call: the same case as a visit, talked through on the phone.

Danger first, then who needs water most, whether the caller can get to the pump, what is wrong,
what is worth asking, what can be put right by phone; at last who and where, and what the
call comes to. A visit goes on with the same case.
"""

from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass
from functools import cached_property, partial

from msgspec.structs import replace

from faultnet.advice.conflict import conflict
from faultnet.advice.subject import Subject
from faultnet.cases.entry import Entry, Writer
from faultnet.cases.events import AdviceShown, AnyEvent, DangerMet, Ended, Undone
from faultnet.desk import by_phone, complaint, danger, need, questions, sheet
from faultnet.desk.desk import Desk, Truck
from faultnet.desk.outcome import Outcome, forecast, outcome_of, water_of
from faultnet.desk.outcome_lines import behind, summary, until_then, water_said
from faultnet.desk.urgency import said, urgency_of
from faultnet.inference.engine import ImpossibleEvidenceError, TooLargeError
from faultnet.visit import apart, closing, dangers, doing, retry, walking
from faultnet.visit.counsel import Counsel
from faultnet.visit.fold import progress_of
from faultnet.visit.progress import Progress
from faultnet.visit.question import picked
from faultnet.visit.trouble import ConflictError
from faultnet.visit.turn import BACK, DONE, Line, Reply, Turn, lines
from faultnet.visit.visit import END, TELL, Due, Visit

CALLER = "caller"
HANG_UP = Reply("q", "hang up", view="stop")
SHEET = Reply("f", "call sheet", view="call-sheet:0")


def solved(desk: Desk, at: Progress) -> Turn | None:
    """Return the end of a call that has put it right."""
    if not retry.proved(desk, at):
        return None
    how = "mended" if at.proof == "yes" else "mended-proof-open"
    body = lines("item", ("Hatch, lids and covers shut.", "An electric water heater on again."))
    again = lines("caution", ("If it comes back, the pump is switched off and the house calls.",))
    done = Reply(DONE, "said so: close the case", Ended(how))
    return Turn("solved", "Put right by phone", "Before they hang up", (*body, *again), (done,))


def came_to(desk: Desk, at: Progress) -> Turn:
    """Return what the call comes to."""
    outcome = outcome_of(desk, at)
    more = (
        Reply("l", "parts, tools, trucks, how it was reckoned", view="behind"),
        Reply("w", "what they do until then", view="until"),
    )
    title = said(outcome.urgency)
    return Turn("outcome", "What it comes to", title, summary(outcome), more)


def in_brief(desk: Desk, at: Progress) -> Turn:
    """Return what is known at once of what the call comes to; all of it is worked out apart."""
    urgency = urgency_of(desk, at)
    body = (Line("say", f"Somebody comes: {urgency.target}."), *water_said(water_of(at)))
    return Turn("outcome", "What it comes to", said(urgency), body)


STAGES: tuple[Callable[[Desk, Progress], Turn | None], ...] = (
    apart.over,
    closing.over,
    lambda _, at: closing.paused(at),
    danger.stopped,
    danger.asked,
    need.asked,
    need.reach,
    picked,
    walking.current,
    by_phone.came_of_it,
    retry.asked,
    solved,
    complaint.asked,
    doing.current,
    by_phone.likely,
    questions.asked,
    by_phone.offered,
    sheet.asked,
    came_to,
)
"""What comes first is due first."""


@dataclass(frozen=True)
class Call(Visit):
    """A call after its entries; nothing in it changes, a reply makes another.

    With ``brief`` the last turn tells what is known at once, and ``outcome`` is asked for apart.
    """

    talk: Desk
    brief: bool = False

    @cached_property
    def to_note(self) -> AdviceShown | DangerMet | None:
        """What is worth noting about the turn that is due: the forecast, or the danger."""
        if self.turn.kind == "danger":
            return dangers.to_note(self.talk, self.at)
        if self.turn.kind != "outcome" or self.brief:
            return None
        noted = forecast(outcome_of(self.talk, self.at))
        return None if self.at.shown == noted.step else noted

    @property
    def outcome(self) -> Outcome | None:
        """What the call comes to; None while the answers cannot be reckoned with."""
        with suppress(ConflictError, ImpossibleEvidenceError, TooLargeError):
            return outcome_of(self.talk, self.at)
        return None

    def typed(self, what: str, text: str) -> AnyEvent | Turn:
        """Return what typed text leads to: an event, or another turn."""
        kind, _, name = what.partition(":")
        if kind != "call-sheet":
            return super().typed(what, text)
        return sheet.typed(self.at, name, text)

    def _views(self, which: str) -> dict[str, Callable[[], Turn]]:
        return {
            **super()._views(which),
            "call-sheet": lambda: sheet.sheet_turn(self.at, int(which)),
            "field": lambda: sheet.field_turn(self.at, which),
            "behind": lambda: self._read("Behind it", behind(outcome_of(self.talk, self.at))),
            "until": lambda: self._read("Tell them", until_then(outcome_of(self.talk, self.at))),
        }

    def _read(self, title: str, body: tuple[Line, ...]) -> Turn:
        turn = came_to(self.talk, self.at)
        return replace(turn, kind="read", heading=title, lines=body, replies=(BACK,))

    def _stages(self) -> Iterable[Due]:
        stages = (*STAGES[:-1], in_brief) if self.brief else STAGES
        return (partial(stage, self.talk, self.at) for stage in stages)

    def _guarded(self, make: Callable[[], Turn]) -> Turn:
        def made() -> Turn:
            try:
                return make()
            except ImpossibleEvidenceError:
                found = conflict(self.talk.subject, self.at.evidence)
                raise ConflictError(found) from None

        return super()._guarded(made)

    def _with_bar(self, turn: Turn) -> Turn:
        bar = [HANG_UP]
        if turn.kind not in {"paused", "danger"}:
            bar = [SHEET, HANG_UP]
        if turn.kind == "outcome":
            bar.insert(0, END)
        if turn.kind in {"question", "do", "outcome"}:
            bar.insert(0, TELL)
        if self.last is not None:
            bar.insert(0, Reply("u", "undo", Undone(self.last.id)))
        return replace(turn, bar=() if turn.kind == "ended" else tuple(bar))


def call_of(
    subject: Subject,
    entries: tuple[Entry, ...],
    writer: Writer,
    trucks: Iterable[Truck] = (),
    *,
    brief: bool = False,
) -> Call:
    """Return the call that has these entries, for whoever replies."""
    at = progress_of(subject, entries, writer.author)
    desk = Desk(subject, Counsel(subject, CALLER), tuple(trucks))
    return Call(desk, writer, entries, at, brief)
