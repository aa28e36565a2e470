"""Text for a terminal: width, indents, a few styles, a bar."""

import os
import shutil
import sys
import textwrap
from dataclasses import dataclass
from typing import TextIO

import click

WIDEST = 88
NARROWEST = 24


@dataclass(frozen=True)
class Screen:
    """How wide the text may be, and whether it may have colour and line drawing."""

    width: int = 80
    colour: bool = False
    drawing: bool = True

    def wrap(self, text: str, indent: int = 0, first: str = "") -> list[str]:
        """Return text in lines below each other; ``first`` stands in the first indent."""
        return textwrap.wrap(
            text,
            self.width,
            initial_indent=first.ljust(indent),
            subsequent_indent=" " * indent,
            break_long_words=False,
            break_on_hyphens=False,
        )

    def cut(self, text: str, width: int) -> str:
        """Return text that is at most so wide."""
        return text if len(text) <= width else text[: max(width - 3, 0)].rstrip() + "..."

    def bar(self, share: float, cells: int) -> str:
        """Return a bar for a share of 1; anything at all shows."""
        full, half = ("\u2501", "\u2578") if self.drawing else ("=", "-")
        halves = max(round(share * cells * 2), 1 if share > 0.0 else 0)
        return full * (halves // 2) + half * (halves % 2)

    def bold(self, text: str) -> str:
        """Return text that stands out."""
        return click.style(text, bold=True) if self.colour and text else text

    def dim(self, text: str) -> str:
        """Return text that stands back."""
        return click.style(text, dim=True) if self.colour and text else text

    def alarm(self, text: str) -> str:
        """Return text that warns."""
        return click.style(text, fg="red", bold=True) if self.colour and text else text

    def mild(self, text: str) -> str:
        """Return the colour of bars."""
        return click.style(text, fg="cyan") if self.colour and text else text


def this_screen() -> Screen:
    """Return what the terminal at hand can show; no colour where NO_COLOR says so."""
    width = shutil.get_terminal_size((80, 24)).columns
    stream = sys.stdout
    return Screen(min(max(width, NARROWEST), WIDEST), _colour(stream), _drawing(stream))


def percent(share: float) -> str:
    """Return a probability as it is said, five wide."""
    if 0.0 < share < 0.01:
        return " <1 %"
    if 0.99 < share < 1.0:
        return ">99 %"
    return f"{share * 100:3.0f} %"


def minutes(value: float) -> str:
    """Return minutes as they are said."""
    return f"{value:.0f} min" if value >= 1.0 or value == 0.0 else "<1 min"


def _colour(stream: TextIO | None) -> bool:
    plain = os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb"
    return bool(stream and stream.isatty() and not plain)


def _drawing(stream: TextIO | None) -> bool:
    try:
        "\u2501\u2578".encode(getattr(stream, "encoding", None) or "utf-8")
    except (UnicodeEncodeError, LookupError):
        return False
    return True
