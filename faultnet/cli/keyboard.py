"""What the person presses or types; a pipe gives a line where a terminal gives a key."""

import sys
from typing import TextIO

import click


class Keyboard:
    """Keys and lines; None means that nothing more comes."""

    def __init__(self) -> None:
        self._stream: TextIO | None = sys.stdin
        self.live = bool(self._stream and self._stream.isatty() and sys.stdout.isatty())
        if not self.live and hasattr(self._stream, "reconfigure"):
            self._stream.reconfigure(errors="replace")

    def key(self) -> str | None:
        """Return one key in small letters; Enter is the empty text."""
        if not self.live:
            return self.line()
        try:
            pressed = click.getchar()
        except EOFError:
            return None
        if pressed in {"\r", "\n"}:
            return ""
        return pressed.lower() if pressed.isprintable() else "?!"

    def line(self) -> str | None:
        """Return one line, without what surrounds it."""
        text = self._stream.readline() if self._stream else ""
        return text.strip() if text else None
