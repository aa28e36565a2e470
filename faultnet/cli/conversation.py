"""A visit held on a terminal: show the turn, take the reply, write it down."""

import os
import shutil
from typing import TYPE_CHECKING, TypeVar

import click

from faultnet.cases.entry import Entry
from faultnet.cases.events import AnyEvent, Undone
from faultnet.cli import dress
from faultnet.cli.countdown import Countdown
from faultnet.cli.keyboard import Keyboard
from faultnet.cli.output import show
from faultnet.cli.screen import this_screen
from faultnet.visit.said import said
from faultnet.visit.turn import Reply, Turn
from faultnet.visit.visit import Visit

if TYPE_CHECKING:
    from faultnet.cases.store.keeping import Keeping

V = TypeVar("V", bound=Visit)


class Conversation:
    """One person, one keyboard, one visit at a time."""

    def __init__(self) -> None:
        self._keyboard = Keyboard()
        self._countdown = Countdown()
        self._clear = self._keyboard.live and os.environ.get("TERM", "dumb") != "dumb"

    def ask(self, turn: Turn, note: str = "") -> Reply | str | None:
        """Show a turn until it is replied to; a text where text was wanted, None at the end."""
        while True:
            self._show(turn, note)
            text = self._keyboard.line() if turn.typed else self._key(turn)
            if text is None:
                return None
            reply = turn.reply(text.lower())
            if self._keyboard.live and not turn.typed:
                click.echo(f"{text} ...")
            if reply is not None:
                return reply
            if turn.typed:
                return text
            note = f"Not a key here: {text[:10] or dress.ENTER}"

    def hold(self, visit: V, keeping: "Keeping", note: str = "") -> V:
        """Talk until the visit is over or somebody stops; every event is kept at once."""
        turn = visit.turn
        while not visit.over or turn.replies:
            if turn is visit.turn and visit.to_note:
                visit, others = _kept(visit, visit.to_note, keeping)
                turn, note = visit.turn, f"{note} {_written(others)}".strip()
            reply = self.ask(turn, note)
            if reply is None or (isinstance(reply, Reply) and reply.view == "stop"):
                return visit
            outcome = _outcome(visit, turn, reply)
            if isinstance(outcome, Turn):
                turn, note = outcome, ""
                continue
            noted = _noted(visit, outcome)
            visit, others = _kept(visit, outcome, keeping)
            turn, note = visit.turn, f"{noted} {_written(others)}".strip()
        self._show(turn, "")
        return visit

    def _show(self, turn: Turn, note: str) -> None:
        screen = this_screen()
        rows = shutil.get_terminal_size((80, 24)).lines - 1 if self._keyboard.live else None
        body, foot = dress.fitted(screen, turn, note, rows)
        if self._clear:
            click.clear()
        else:
            show([""])
        while rows and len(body) + len(foot) > rows and len(body) > rows - 1:
            show(body[: rows - 1])
            body = body[rows - 1 :]
            if not self._more():
                break
        if rows and body and len(body) + len(foot) > rows:
            show(body)
            body = []
            self._more()
        show([*body, *foot])
        if turn.until and not self._keyboard.live:
            show([f"Timer: {self._countdown.left(turn.until)}."])
        if turn.kind != "ended":
            click.echo(self._countdown.prompt(turn.until), nl=False)

    def _key(self, turn: Turn) -> str | None:
        """Return a key; meanwhile the time that is left counts down."""
        if not turn.until:
            return self._keyboard.key()
        return self._keyboard.key(lambda: self._countdown.tick(turn.until))

    def _more(self) -> bool:
        click.echo("-- any key: more --", nl=False)
        pressed = self._keyboard.key()
        click.echo("\r" + " " * 20 + "\r", nl=False)
        return pressed is not None


def _outcome(visit: Visit, turn: Turn, reply: Reply | str) -> AnyEvent | Turn:
    if isinstance(reply, str):
        return visit.typed(turn.typed.what if turn.typed else "", reply)
    return reply.event if reply.event is not None else visit.view(reply.view)


def _kept(visit: V, event: AnyEvent, keeping: "Keeping") -> tuple[V, tuple[Entry, ...]]:
    """Return the visit after an event that is kept by now, and what others have written."""
    visit = visit.after(event)
    others = keeping.keep(visit.entries[-1])
    return (visit.having(others) if others else visit), others


def _written(others: tuple[Entry, ...]) -> str:
    if not others:
        return ""
    names = ", ".join(sorted({entry.author for entry in others}))
    return f"{names} wrote to this case as well: {len(others)} more."


def _noted(visit: Visit, event: AnyEvent) -> str:
    """Return what an event is noted as."""
    if isinstance(event, Undone):
        undone = next((each.event for each in visit.entries if each.id == event.event), event)
        told = said(visit.talk.subject, undone)
        return f"Taken back: {told}" if told else "Taken back."
    told = said(visit.talk.subject, event)
    return f"Noted: {told}" if told else ""
