"""What was typed, taken apart: the round it belongs to, what it is about, the value.

``1:prime-level-falls=yes`` belongs to round 1; without a number it belongs to the
open round, which is the last. ``--mended 1:clean-foot-valve`` ends round 1, and
``--mended clean-foot-valve`` the round before the open one.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

import click

_PAIR = re.compile(r"(?:(\d{1,3}):)?([^\s:=]+)=(.*)", re.ASCII | re.DOTALL)
_REPAIR = re.compile(r"(?:(\d{1,3}):)?([^\s:=]+)()", re.ASCII)


@dataclass(frozen=True)
class Said:
    """One thing that was typed; no round means the round that follows from the others."""

    round: int | None
    about: str
    value: str

    def at(self, otherwise: int) -> int:
        """Return its round, or the other one where none was typed."""
        return otherwise if self.round is None else self.round


def pair(text: str, form: str) -> Said:
    """Take ``about=value`` apart; ``form`` says how it should look."""
    return _said(_PAIR, text, form)


def repair(text: str) -> Said:
    """Take a repair with or without its round apart."""
    return _said(_REPAIR, text, "REPAIR or ROUND:REPAIR")


def open_round(said: Sequence[Said], mended: Sequence[Said]) -> int:
    """Return the number of the open round; every round before it must have a repair.

    Raises ``click.UsageError``.
    """
    last = max([1, *(s.at(1) for s in said), *(m.at(1) + 1 for m in mended)])
    ended = {m.at(last - 1) for m in mended}
    for number in range(1, last):
        if number not in ended:
            raise click.UsageError(
                f"Nothing ended round {number}. Say what was repaired: "
                f"--mended {number}:REPAIR, or leave out what belongs to round {number + 1}."
            )
    return last


def _said(form: re.Pattern[str], text: str, shown: str) -> Said:
    found = form.fullmatch(text)
    if found is None:
        raise click.UsageError(f"`{text[:60]}` is not understood. Write {shown}.")
    if found[1] is not None and int(found[1]) == 0:
        raise click.UsageError(f"`{text[:60]}`: rounds count from 1.")
    return Said(None if found[1] is None else int(found[1]), found[2], found[3])
