"""A case held on a terminal, at the pump or on the phone: begun, taken up again, kept."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Generic, TypeVar

import click

from faultnet.cli import kept_cases
from faultnet.cli.output import show

if TYPE_CHECKING:
    from faultnet.advice.subject import Subject
    from faultnet.cases.entry import Entry, Writer
    from faultnet.cases.events import AnyEvent, Opened, Speaker
    from faultnet.cases.store.keeping import Keeping
    from faultnet.cases.store.listing import Listed
    from faultnet.cases.store.store import Log, Store
    from faultnet.cli.conversation import Conversation
    from faultnet.model.knowledge import Knowledge
    from faultnet.visit.turn import Turn
    from faultnet.visit.visit import Visit

V = TypeVar("V", bound="Visit")
F = TypeVar("F", bound=Callable[..., Any])

LAST = "-"
"""What stands for the case that was touched last."""


def resume(what: str, more: str) -> Callable[[F], F]:
    """Add --resume; ``what`` goes on, or ``more`` is looked at."""
    return click.option(
        "--resume",
        "case",
        is_flag=False,
        flag_value=LAST,
        metavar="[CASE]",
        help=f"Go on with this {what}, or look at its {more}; without CASE with the last open one.",
    )


@dataclass(frozen=True)
class Manner(Generic[V]):
    """How a case is held: the command, whose word it is, and what makes the conversation.

    ``first`` is what is noted before a case is begun or gone on with, if anything is.
    """

    command: str
    speaker: "Speaker"
    make: "Callable[[Subject, tuple[Entry, ...], Writer], V]"
    opening: "Callable[[Knowledge], Turn]"
    first: "Callable[[Visit], AnyEvent | None] | None" = None


@dataclass(frozen=True)
class Beginning:
    """What a new case begins with; without a system it is asked for."""

    system: str | None = None
    site: str | None = None
    follows: str | None = None
    who: str = "technician"


@dataclass(frozen=True)
class Held(Generic[V]):
    """The cases of a store, held in one manner."""

    store: "Store"
    knowledge: "Knowledge"
    manner: Manner[V]

    def begin(self, beginning: Beginning) -> V | None:
        """Begin a case and talk; return how it stands then, nothing where none was begun."""
        from faultnet.advice.subject import make_subject
        from faultnet.cases.store.keeping import Keeping
        from faultnet.cli.conversation import Conversation

        talker, note = Conversation(), self._noted(self._unfinished())
        opened = self._opened(beginning)
        if not opened.system:
            asked = self._asked(talker, note)
            if isinstance(asked, str):
                return self.go_on(asked, beginning.who)
            if asked is None:
                return None
            opened, note = self._opened(beginning, asked.system), self._noted()
        subject = make_subject(self.knowledge, opened.system)
        writer = kept_cases.writer()
        visit = self.manner.make(subject, (writer.begin(opened),), writer)
        keeping = Keeping(self.store, visit.id)
        keeping.keep(visit.entries[0])
        return self._hold(talker, self._prepared(visit, keeping), keeping, note)

    def read(self, case: str) -> "tuple[V, Log]":
        """Return how a case stands, the last open one where none is named, and its log."""
        from faultnet.advice.subject import make_subject

        listed = self._last_open() if case == LAST else kept_cases.one(self.store, case)
        if not listed.system:
            raise click.UsageError(f"How {listed.id} was opened is not known; it cannot go on.")
        subject = make_subject(self.knowledge, listed.system)
        log = self.store.read(listed.id)
        return self.manner.make(subject, log.entries, kept_cases.writer()), log

    def go_on(self, case: str, who: str | None) -> V:
        """Go on with a case and talk; return how it stands then."""
        from faultnet.cases.store.keeping import Keeping
        from faultnet.cli.conversation import Conversation

        visit, log = self.read(case)
        note = self._noted(_notice(visit, log.unread))
        keeping = Keeping(self.store, visit.id, log.place)
        if not visit.over:
            visit = self._prepared(self._joined(visit, keeping, who), keeping)
        return self._hold(Conversation(), visit, keeping, note)

    def _opened(self, beginning: Beginning, system: str = "") -> "Opened":
        from faultnet.cases.events import Opened
        from faultnet.cases.site import begun_at
        from faultnet.cli.cases_sites import site_at

        site, follows = beginning.site, beginning.follows
        place = kept_cases.one(self.store, site, "site") if site else None
        before = kept_cases.one(self.store, follows) if follows else None
        known = place.system if place else before.system if before else ""
        opened = Opened(
            system or beginning.system or known,
            beginning.who,
            self.manner.speaker,
            self.knowledge.version,
            site=before.site if before else "",
            follows=before.id if before else "",
        )
        return begun_at(site_at(self.store, place, self.knowledge), opened) if place else opened

    def _prepared(self, visit: V, keeping: "Keeping") -> V:
        """Return the visit with what is noted first."""
        event = self.manner.first(visit) if self.manner.first else None
        if event is None:
            return visit
        visit = visit.after(event)
        keeping.keep(visit.entries[-1])
        return visit

    def _asked(self, talker: "Conversation", note: str) -> "Opened | str | None":
        """Return the system that was chosen, or the case to go on with, or nothing."""
        from faultnet.cases.events import Opened
        from faultnet.visit.turn import Reply

        reply = talker.ask(self.manner.opening(self.knowledge), note)
        if isinstance(reply, Reply) and reply.view.startswith("case:"):
            return reply.view.removeprefix("case:")
        event = reply.event if isinstance(reply, Reply) else None
        return event if isinstance(event, Opened) else None

    def _joined(self, visit: V, keeping: "Keeping", who: str | None) -> V:
        """Return the visit with a word about who takes it up, where that is somebody else."""
        from faultnet.visit.taken_up import joined

        word = joined(visit, self.manner.speaker, who)
        if word is None:
            return visit
        visit = visit.after(word)
        others = keeping.keep(visit.entries[-1])
        return self.manner.make(visit.talk.subject, (*visit.entries, *others), visit.writer)

    def _hold(self, talker: "Conversation", visit: V, keeping: "Keeping", note: str) -> V:
        try:
            visit = talker.hold(visit, keeping, note)
        except KeyboardInterrupt:
            self._say_kept(visit.id)
            raise
        if not visit.over:
            self._say_kept(visit.id)
        return visit

    def _say_kept(self, name: str) -> None:
        show(["", f"Kept as {name}. Go on with: faultnet {self.manner.command} --resume {name}"])

    def _last_open(self) -> "Listed":
        found = self._open()
        if not found:
            raise click.UsageError(
                f"There is no open case. Begin one: faultnet {self.manner.command}"
            )
        return found[0]

    def _noted(self, told: str = "") -> str:
        """Return a remark with the region whose numbers are in use."""
        from faultnet.cli.notice import region_said

        return f"{told} {region_said(self.knowledge)}".strip()

    def _unfinished(self) -> str:
        """Return a remark about the case that was left last, or nothing."""
        found = self._open()
        return f"Not finished: {found[0].id}. It goes on with --resume." if found else ""

    def _open(self) -> "list[Listed]":
        from faultnet.cases.store.listing import cases

        return [each for each in cases(self.store, ended=False) if each.system]


def turn_shape(visit: "Visit") -> object:
    """Return the turn that is due for JSON."""
    import msgspec

    return msgspec.to_builtins(visit.turn)


def _notice(visit: "Visit", unread: int) -> str:
    case = visit.at.case
    told = [f"Going on with {case.id}."]
    if unread:
        told.append(f"{unread} event(s) could not be read: look at the last answers.")
    if case.unfit:
        told.append(f"{case.unfit} answer(s) no longer fit the knowledge and are left out.")
    if case.missing:
        told.append(f"{case.missing} event(s) of somebody else have not arrived yet.")
    if case.conflicts:
        told.append(f"{len(case.conflicts)} thing(s) were told differently by two people.")
    if case.apart:
        told.append(f"{len(case.apart)} thing(s) were done by two people apart.")
    return " ".join(told)
