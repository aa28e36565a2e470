"""What the person presses or types; a pipe gives a line where a terminal gives a key."""

import contextlib
import os
import sys
from collections.abc import Callable
from typing import TextIO

import click


class Keyboard:
    """Keys and lines; None means that nothing more comes."""

    def __init__(self) -> None:
        self._stream: TextIO | None = sys.stdin
        self.live = bool(self._stream and self._stream.isatty() and sys.stdout.isatty())
        if not self.live and hasattr(self._stream, "reconfigure"):
            self._stream.reconfigure(errors="replace")

    def key(self, tick: Callable[[], None] | None = None) -> str | None:
        """Return one key in small letters; Enter is the empty text.

        ``tick`` is called each second until then, on a terminal that can do so.

        What was pressed before the question stood there is no answer to it, and neither
        are many keys at once; Enter behind a key, out of habit, does no harm.
        """
        if not self.live:
            return self.line()
        _forget_pressed()
        try:
            pressed = _ticking_key(tick) if tick else click.getchar()
        except EOFError:
            return None
        if len(pressed) == 2 and pressed[1] in "\r\n":
            pressed = pressed[0]
        if pressed in {"\r", "\n"}:
            return ""
        return pressed.lower() if pressed.isprintable() else "that"

    def line(self) -> str | None:
        """Return one line, without what surrounds it."""
        if self.live:
            _forget_pressed()
        text = self._stream.readline() if self._stream else ""
        return "".join(c for c in text if c.isprintable()).strip() if text else None


def _ticking_key(tick: Callable[[], None]) -> str:
    """Return what is pressed; raise ``EOFError`` at the end, as click does."""
    try:
        import select
        import termios
        import tty
    except ImportError:
        return click.getchar()
    handle = sys.stdin.fileno()
    before = termios.tcgetattr(handle)
    try:
        tty.setcbreak(handle, termios.TCSANOW)
        tick()
        while not select.select([handle], [], [], 1.0)[0]:
            tick()
        pressed = os.read(handle, 32).decode(errors="replace")
    finally:
        termios.tcsetattr(handle, termios.TCSADRAIN, before)
    if pressed in {"", "\x04"}:
        raise EOFError
    return pressed


def _forget_pressed() -> None:
    """Drop the keys that wait to be read."""
    try:
        import termios
    except ImportError:
        return
    with contextlib.suppress(termios.error, OSError, ValueError):
        termios.tcflush(sys.stdin, termios.TCIFLUSH)
