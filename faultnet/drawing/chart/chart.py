"""What a chart says, as plain data: numbered boxes, answers, repairs, what it all costs."""

import msgspec

from faultnet.advice.dangers import DangerMet
from faultnet.advice.step import Step
from faultnet.advice.subject import Subject
from faultnet.drawing.chart.grow import Live
from faultnet.model.evidence import Evidence


class Turn(msgspec.Struct, frozen=True):
    """A repair in a sequence: its minutes, and the chance that it ends the trouble then."""

    repair: str
    minutes: float
    ends: float


class End(msgspec.Struct, frozen=True):
    """Where a branch ends and why: the repairs in order, the chance that none of them ends it.

    ``likeliest`` are causes with their chance there, ``expected`` the minutes from there on.
    """

    why: str
    turns: tuple[Turn, ...]
    left: float
    expected: float
    likeliest: tuple[tuple[str, float], ...] = ()


class Way(msgspec.Struct, frozen=True):
    """Answers of a box that lead to the same: to another box, or to an end."""

    answers: tuple[dict[str, str], ...]
    chance: float
    lasting: float
    dangers: tuple[DangerMet, ...]
    box: int = 0
    end: End | None = None


class Box(msgspec.Struct, frozen=True):
    """A numbered check with its ways, the likeliest first, and the end of any other answer.

    ``reached`` is the chance that the chart leads here; ``sources`` are the boxes before.
    """

    number: int
    step: Step
    asks: tuple[str, ...]
    sources: tuple[int, ...]
    reached: float
    expected: float
    ways: tuple[Way, ...]
    other: End
    other_chance: float
    other_lasting: float


class Chart(msgspec.Struct, frozen=True):
    """A chart: where it starts, its boxes, and what following it costs in minutes.

    With no box there is only an ``end``. ``live`` is what asking faultnet at every step
    costs, if that was looked into; ``repair_only`` what repairs without any check cost.
    """

    subject: Subject
    evidence: Evidence
    who: str
    depth: int
    day: str
    dangers: tuple[DangerMet, ...]
    boxes: tuple[Box, ...]
    end: End | None
    expected: float
    repair_only: float
    live: Live | None

    @property
    def repairs(self) -> tuple[str, ...]:
        """The repairs that the chart names, in the order in which it does."""
        ends = [self.end] if self.end else []
        for box in self.boxes:
            ends += [*(way.end for way in box.ways if way.end), box.other]
        return tuple(dict.fromkeys(turn.repair for end in ends for turn in end.turns))
