"""How far a long computation is: on standard error, once it takes more than a second."""

import sys
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

import click

if TYPE_CHECKING:
    from faultnet.sharing.sharing import Sharing

T = TypeVar("T")
R = TypeVar("R")

PATIENCE = 1.0
"""Seconds before anything is told."""
ON_PAPER = 10.0
"""Seconds between lines where standard error is no terminal."""
ON_SCREEN = 0.2
"""Seconds between changes of the one line of a terminal."""


def told(results: Iterable[T], count: int, what: str) -> Iterator[T]:
    """Yield the results as they come, and tell how many of ``count`` there are."""
    live = sys.stderr is not None and sys.stderr.isatty()
    due = time.monotonic() + PATIENCE
    width = 0
    for number, result in enumerate(results, start=1):
        if time.monotonic() >= due:
            due = time.monotonic() + (ON_SCREEN if live else ON_PAPER)
            line = f"{number} of {count} {what}"
            width = max(width, len(line))
            click.echo(f"\r{line}" if live else line, err=True, nl=not live)
        yield result
    if live and width:
        click.echo(f"\r{' ' * width}\r", err=True, nl=False)


@dataclass(frozen=True)
class Telling:
    """Shares work out, and tells how far it is; ``what`` are the questions called."""

    sharing: "Sharing"
    what: str

    def each(self, do: Callable[[T], R], asked: Iterable[T]) -> Iterator[R]:
        """Yield what comes of each."""
        questions: Sequence[T] = asked if isinstance(asked, Sequence) else tuple(asked)
        return told(self.sharing.each(do, questions), len(questions), self.what)
