"""The time that is left, before the prompt; a bell once it is up."""

import time
from collections.abc import Callable

import click


class Countdown:
    """Counts down to the end of a timer, in seconds since 1970; 0 is no timer."""

    def __init__(self, clock: Callable[[], float] = time.time) -> None:
        """Keep the clock; nothing has rung yet."""
        self._clock = clock
        self._rung: set[float] = set()

    def prompt(self, until: float) -> str:
        """Return the prompt, with the time that is left where a timer runs."""
        return f"{self.left(until)} > " if until else "> "

    def left(self, until: float) -> str:
        """Return the time that is left; always as wide, so that it can be written over."""
        seconds = int(until - self._clock() + 0.999)
        return f"{seconds // 60:2d}:{seconds % 60:02d} left" if seconds > 0 else "Time is up"

    def tick(self, until: float) -> None:
        """Write the prompt over the one that stands, and ring once when the time is up."""
        click.echo(f"\r{self.prompt(until)}", nl=False)
        if until not in self._rung and self._clock() >= until:
            self._rung.add(until)
            click.echo("\a", nl=False)
