"""Readings: numbers from an instrument that speak about one finding."""

import msgspec

from faultnet.model.origin import Number, Origin


class Span(msgspec.Struct, frozen=True):
    """A range of the true value that means one answer; an open end is None."""

    answer: str
    over: Number | None = None
    under: Number | None = None


class Reading(msgspec.Struct, frozen=True):
    """How a reading with named parts turns into evidence on a finding.

    ``takes`` maps each part to its unit; ``value`` is ``fall`` (start less end) or
    the name of a part; ``accuracy`` is two standard deviations in the value's unit.
    """

    id: str
    title: str
    part: str
    finding: str
    takes: dict[str, str]
    value: str
    accuracy: Number
    answers: tuple[Span, ...]
    origin: Origin
    at_least: dict[str, Number] = {}
    possible: dict[str, tuple[Number, Number]] = {}
    note: str = ""

    @property
    def unit(self) -> str:
        """The unit of the value."""
        return self.takes["start" if self.value == "fall" else self.value]
