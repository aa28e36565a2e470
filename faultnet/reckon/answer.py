"""What a calculator says: figures, what they mean, what was taken for granted, and from where."""

import math
from decimal import ROUND_HALF_UP, Decimal

import msgspec

from faultnet.reckon.between import Between
from faultnet.reckon.units import converted

FINELY_READ = {"V": 4}
"""Units of which more than three figures count: 103.5 V."""

OTHER_SYSTEM = {
    "psi": "kPa",
    "inHg": "kPa",
    "ft": "m",
    "in": "mm",
    "ft/s": "m/s",
    "gal": "L",
    "floz": "mL",
    "gpm": "L/min",
    "gal/day": "L/day",
    "degF": "degC",
    "hp": "kW",
}
"""The metric unit that stands beside one of the United States."""


class Figure(msgspec.Struct, frozen=True):
    """One figure of an answer, known or between two others."""

    id: str
    title: str
    value: Between
    unit: str = ""

    def in_both(self) -> tuple[tuple[str, Between], ...]:
        """Return the figure in its own unit and, where there is one, in the metric unit."""
        other = OTHER_SYSTEM.get(self.unit)
        if other is None:
            return ((self.unit, self.value),)
        metric = Between(*(converted(each, self.unit, other) for each in self.value))
        return ((self.unit, self.value), (other, metric))

    @property
    def finite(self) -> bool:
        """Whether it is a number in both units."""
        return all(math.isfinite(each) for _, span in self.in_both() for each in span)


class Answer(msgspec.Struct, frozen=True):
    """Everything a calculator says; ``formula`` and ``sources`` tell where it comes from."""

    figures: tuple[Figure, ...]
    formula: str
    sources: tuple[str, ...]
    says: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


def figure(id_: str, title: str, value: float | Between, unit: str = "") -> Figure:
    """Return a figure from a number or a range."""
    span = value if isinstance(value, Between) else Between(value, value)
    return Figure(id_, title, span, unit)


def rounded(number: float, figures: int = 3) -> str:
    """Return a number with so many figures that count and no exponent: 0.0281, 12.9, 12500."""
    if number == 0.0:
        return "0"
    exact = Decimal(repr(number))
    last = Decimal(1).scaleb(exact.adjusted() - figures + 1)
    text = f"{exact.quantize(last, ROUND_HALF_UP):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
