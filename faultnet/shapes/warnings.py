"""What stands before any answer: dangers, and answers that cannot all be true."""

from collections.abc import Iterable
from typing import TYPE_CHECKING

import msgspec

if TYPE_CHECKING:
    from faultnet.advice.conflict import Said
    from faultnet.advice.dangers import DangerMet


class DangerShape(msgspec.Struct, frozen=True):
    """A danger that was answered: what to say, whom to send, how far it stops the work.

    ``stop`` is ``full`` or ``make-safe``; until it is ``made_safe`` every other step waits.
    """

    finding: str
    answer: str
    say: str
    send: str
    stop: str
    made_safe: bool


class SaidShape(msgspec.Struct, frozen=True):
    """One of the things that cannot all be true: its round (from 1) and its authored line."""

    about: str
    answer: str
    round: int
    line: str


def dangers_shape(met: "Iterable[DangerMet]") -> tuple[DangerShape, ...]:
    """Return the dangers, worst first."""
    return tuple(
        DangerShape(
            danger.finding,
            danger.answer,
            danger.say,
            danger.send,
            danger.stop,
            danger.made_safe,
        )
        for danger in met
    )


def conflict_shape(said: "Iterable[Said]") -> tuple[SaidShape, ...]:
    """Return answers that cannot all be true; empty when the evidence is possible."""
    return tuple(SaidShape(each.about, each.answer, each.round + 1, each.line) for each in said)
