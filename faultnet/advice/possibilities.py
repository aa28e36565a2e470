"""The ways the value of a reading may be: what is not known spread out, errors carried through.

A part that was not read is worked out of others, or taken from the layout, or spread over
its authored range: evenly, or over the logarithm where the greatest is ten times the least or
more. For each such possibility the value has a normal error. Its deviation is that of the
value, with that of each part carried through: half of what the value changes by when the part
goes from one deviation below to one above. Errors of parts are taken as independent.
"""

import math
from collections.abc import Iterator, Mapping
from itertools import product

import msgspec

from faultnet.model.reading import FALL, Accuracy, Reading
from faultnet.model.system import System
from faultnet.reckon.between import Between
from faultnet.reckon.gauge import gauge_error_psi
from faultnet.reckon.units import UnfitNumberError, converted
from faultnet.reckon.worked import COMPUTATIONS, worked_out

POINTS = 40
"""Into how many equally likely pieces an unknown range is cut."""

Parts = Mapping[str, float]


class UnfitReadingError(Exception):
    """A reading that cannot be used, with the reason."""


class Possibility(msgspec.Struct, frozen=True):
    """One way the value may be: its weight, the value as read, and its deviation."""

    weight: float
    value: float
    deviation: float


def possibilities(
    reading: Reading, system: System, parts: Parts, layout: Mapping[str, str]
) -> tuple[Possibility, ...]:
    """Return the ways the value may be; their weights come to one."""
    refusal = reading.refusal(parts)
    if refusal:
        raise UnfitReadingError(refusal)
    missing = reading.missing(parts)
    if missing:
        raise UnfitReadingError(f"The reading {reading.id} also needs {', '.join(missing)}.")
    return Spread(reading, system, parts, layout, reading.value).all()


class Spread(msgspec.Struct, frozen=True):
    """A reading and its numbers, spread over what is not known, for one named value."""

    reading: Reading
    system: System
    parts: Parts
    layout: Mapping[str, str]
    name: str

    def all(self) -> tuple[Possibility, ...]:
        """Return every possibility that can be."""
        found, reason = [], ""
        for weight, given, shares in self._cases():
            try:
                value = self._value(given, shares)
                found.append(Possibility(weight, value, self._deviation(value, given, shares)))
            except UnfitNumberError as error:
                reason = str(error)
        whole = sum(each.weight for each in found)
        if not whole:
            raise UnfitReadingError(f"{self.reading.id}: {reason}")
        return tuple(Possibility(p.weight / whole, p.value, p.deviation) for p in found)

    def _cases(self) -> Iterator[tuple[float, Parts, Parts]]:
        """Yield weight, the parts with those of the layout, and a place in each open range."""
        for weight, given in self._with_layout():
            wide = [part for part in self._needs() if self._wide(part, given)]
            places = [(k + 0.5) / POINTS for k in range(POINTS)]
            for chosen in product(places, repeat=len(wide)):
                share = weight / POINTS ** len(wide)
                yield share, given, dict(zip(wide, chosen, strict=True))

    def asked(self) -> dict[str, str]:
        """Return the layouts that the value hangs on, each with the part that it stands for."""
        open_ = {p: self.reading.unknown.get(p) for p in self._needs() if p not in self.parts}
        return {each.layout: part for part, each in open_.items() if each and each.layout}

    def _with_layout(self) -> Iterator[tuple[float, Parts]]:
        asked = self.asked()
        for values in product(*map(self._values_of, asked)):
            weight = math.prod(chance for _, chance in values)
            stand = dict(zip(asked.values(), (value for value, _ in values), strict=True))
            yield weight, {**self.parts, **stand}

    def _values_of(self, layout: str) -> list[tuple[float, float]]:
        """The values of a layout with their chances; one where it is known."""
        if layout in self.layout:
            return [(float(self.layout[layout]), 1.0)]
        if layout not in self.system.layout:
            raise UnfitReadingError(f"{self.reading.id} also needs what `{layout}` says.")
        chances = self.system.layout[layout]
        return [(float(value), chance.value) for value, chance in chances.items()]

    def _needs(self) -> dict[str, str]:
        """The parts that the value is worked out of, with their units."""
        if self.name == FALL:
            return dict.fromkeys(("start", "end"), self.reading.takes["start"])
        if self.name in self.reading.takes:
            return {self.name: self.reading.takes[self.name]}
        return COMPUTATIONS[self.name].needs

    def _wide(self, part: str, given: Parts) -> bool:
        return part not in given and not self._between(part, given).known

    def _between(self, part: str, given: Parts) -> Between:
        """What a part that was not read lies between, in the unit of the computation."""
        way = worked_out(part, given)
        if way is not None:
            read = (self._in_unit(each, given[each], unit) for each, unit in way.needs.items())
            return way.of(*read)
        unknown = self.reading.unknown.get(part)
        if unknown is None or unknown.low is None or unknown.high is None:
            raise UnfitReadingError(f"The reading {self.reading.id} also needs {part}.")
        unit = self._needs()[part]
        ends = (unknown.low.value, unknown.high.value)
        return Between(*(self._in_unit(part, end, unit) for end in ends))

    def _in_unit(self, part: str, value: float, unit: str) -> float:
        return converted(value, self.reading.takes.get(part, unit), unit)

    def _value(self, given: Parts, shares: Parts) -> float:
        values = [
            self._in_unit(part, given[part], unit)
            if part in given
            else _at(self._between(part, given), shares.get(part, 0.5))
            for part, unit in self._needs().items()
        ]
        if self.name == FALL:
            return values[0] - values[1]
        return values[0] if self.name in self.reading.takes else self._of(values)

    def _of(self, values: list[float]) -> float:
        value = COMPUTATIONS[self.name].of(*values)
        if not math.isfinite(value):
            raise UnfitNumberError("These numbers give no value.")
        return value

    def _deviation(self, value: float, given: Parts, shares: Parts) -> float:
        square = 0.0
        if self.reading.accuracy is not None:
            square += _error(self.reading.accuracy, value, self.reading.unit) ** 2 / 4.0
        for part, accuracy in self.reading.accuracy_of.items():
            if part in self.parts:
                error = _error(accuracy, given[part], self.reading.takes[part])
                square += self._change(part, error / 2.0, value, given, shares) ** 2
        return math.sqrt(square)

    def _change(
        self, part: str, deviation: float, value: float, given: Parts, shares: Parts
    ) -> float:
        """What one deviation of a part does to the value, taken from one side to the other."""
        reached = [value]
        for step in (-deviation, deviation):
            try:
                reached.append(self._value({**given, part: given[part] + step}, shares))
            except UnfitNumberError:
                continue
        sides = reached[1:] if len(reached) == 3 else reached
        return (sides[-1] - sides[0]) / (len(reached) - 1 or 1)


def _at(between: Between, share: float) -> float:
    """The place in a range, by its logarithm where it is wide."""
    low, high = between
    if low > 0.0 and high >= 10.0 * low:
        return low * math.pow(high / low, share)
    return low + share * (high - low)


def _error(accuracy: Accuracy, read: float, unit: str) -> float:
    """Two deviations of an instrument at what it reads, in the unit of that."""
    if accuracy.amount is not None:
        return accuracy.amount.value
    if accuracy.percent is not None:
        return abs(read) * accuracy.percent.value / 100.0
    assert accuracy.full_scale is not None, "the loader asks for it beside a grade"
    scale = converted(accuracy.full_scale.value, unit, "psi")
    error = gauge_error_psi(converted(read, unit, "psi"), scale, accuracy.grade)
    return converted(error, "psi", unit)
