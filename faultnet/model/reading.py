"""Readings: numbers from instruments that speak about one finding, or about a family."""

import math
from collections.abc import Mapping

import msgspec

from faultnet.model.origin import Number, Origin

FALL = "fall"
"""The value that is the part ``start`` less the part ``end``."""

FALL_PARTS = ("start", "end")

NONE = "none"
"""The answer of a family when none of its findings shows."""


class Span(msgspec.Struct, frozen=True):
    """A range of the true value that means one answer; an open end is None."""

    answer: str
    over: Number | None = None
    under: Number | None = None


class Accuracy(msgspec.Struct, frozen=True):
    """Two standard deviations of an instrument's error, given in one of three ways.

    ``amount`` in the unit of what is read, ``percent`` of what is read, or a ``grade`` of
    pressure gauge with the last number on its dial as ``full_scale``.
    """

    amount: Number | None = None
    percent: Number | None = None
    grade: str = ""
    full_scale: Number | None = None


class Unknown(msgspec.Struct, frozen=True):
    """What holds of a part that was not read: a range, one number twice, or a layout."""

    low: Number | None = None
    high: Number | None = None
    layout: str = ""


class Reading(msgspec.Struct, frozen=True):
    """How a reading with named parts turns into evidence.

    ``findings`` is one finding, or a family of which at most one shows; ``answers`` are then
    the findings themselves and ``none``. ``takes`` maps each part to its unit. ``value`` is
    a part or the name of a computation, ``unit`` its unit; ``accuracy`` is that of the value,
    ``accuracy_of`` that of parts. A part under ``unknown`` or ``optional`` may be left out.
    A part ``of_site`` may be a setting of the site of the same name.
    ``shows`` names computations that are told beside the value.
    """

    id: str
    title: str
    part: str
    findings: tuple[str, ...]
    takes: dict[str, str]
    value: str
    answers: tuple[Span, ...]
    origin: Origin
    unit: str = ""
    accuracy: Accuracy | None = None
    accuracy_of: dict[str, Accuracy] = {}
    unknown: dict[str, Unknown] = {}
    optional: tuple[str, ...] = ()
    of_site: tuple[str, ...] = ()
    shows: tuple[str, ...] = ()
    at_least: dict[str, Number] = {}
    possible: dict[str, tuple[Number, Number]] = {}
    note: str = ""

    @property
    def required(self) -> tuple[str, ...]:
        """The parts without which nothing is read."""
        return tuple(p for p in self.takes if p not in self.unknown and p not in self.optional)

    def missing(self, parts: Mapping[str, float]) -> tuple[str, ...]:
        """Return the parts that are still needed."""
        return tuple(part for part in self.required if part not in parts)

    def refusal(self, parts: Mapping[str, float]) -> str:
        """Return why a number cannot be used, the first such one; else nothing."""
        return next((told for part in parts if (told := self._refusal(part, parts[part]))), "")

    def _refusal(self, part: str, value: float) -> str:
        if part not in self.takes:
            return f"{self.id} takes no {part}: it takes {', '.join(self.takes)}."
        unit = self.takes[part]
        told = f"{self.id}.{part} of {value:g} {unit}"
        low, high = -math.inf, math.inf
        if part in self.possible:
            low, high = (number.value for number in self.possible[part])
        if not (math.isfinite(value) and low <= value <= high):
            between = f"it lies between {low:g} and {high:g} {unit}"
            return f"{told} cannot be: {between}. Read the instrument again, and its unit."
        least = self.at_least.get(part)
        if least is not None and value < least.value:
            return f"{told} is too little to tell anything: at least {least.value:g} {unit}."
        return ""
