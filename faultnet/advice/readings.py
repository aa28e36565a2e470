"""From the numbers of a reading to the likelihood of each answer.

A part that was not read is worked out of others, or taken from the layout, or spread over
its authored range: evenly, or over the logarithm where the greatest is ten times the least or
more. For each such possibility the value has a normal error. Its deviation is that of the
value, with that of each part carried through: half of what the value changes by when the part
goes from one deviation below to one above. An answer weighs the chance that the true value lies
in its range.
"""

import math
from collections.abc import Iterator, Mapping
from itertools import product

import msgspec

from faultnet.model.reading import FALL, NONE, Accuracy, Reading, Span
from faultnet.model.system import System
from faultnet.reckon.between import Between
from faultnet.reckon.gauge import gauge_error_psi
from faultnet.reckon.units import UnfitNumberError, converted
from faultnet.reckon.worked import COMPUTATIONS, worked_out

POINTS = 40
"""Into how many equally likely pieces an unknown range is cut."""

SURE = 1e-12
"""Within a family nothing counts less than this beside another outcome."""

Likelihood = tuple[float, ...]
Parts = Mapping[str, float]


class UnfitReadingError(Exception):
    """A reading that cannot be used, with the reason."""


class Possibility(msgspec.Struct, frozen=True):
    """One way the value may be: its weight, the value as read, and its deviation."""

    weight: float
    value: float
    deviation: float


def outcomes(
    reading: Reading, system: System, parts: Parts, layout: Mapping[str, str]
) -> dict[str, float]:
    """Return the chance of the numbers for each answer of a reading.

    Raises ``UnfitReadingError`` for parts that are missing, unknown or impossible.
    """
    possible = possibilities(reading, system, parts, layout)
    return {
        span.answer: sum(each.weight * _chance(span, each) for each in possible)
        for span in reading.answers
    }


def likelihoods(
    reading: Reading, chances: Mapping[str, float], answers: Mapping[str, tuple[str, ...]]
) -> dict[str, Likelihood]:
    """Return for each finding of a reading the likelihood of its answers, in their order.

    Of a family one finding at most shows, so each is weighed against none of them.
    """
    if len(reading.findings) == 1:
        only = reading.findings[0]
        return {only: tuple(chances.get(answer, 0.0) for answer in answers[only])}
    none = max(chances[NONE], SURE)
    ratios = {finding: chances[finding] / none for finding in reading.findings}
    return {
        finding: (1.0 / max(1.0, ratio), ratio / max(1.0, ratio))
        for finding, ratio in ratios.items()
    }


def figures(
    reading: Reading, system: System, parts: Parts, layout: Mapping[str, str]
) -> tuple[tuple[str, Between, str], ...]:
    """Return what is worked out of the numbers: title, range as read, and unit.

    A computation that needs more than is known is left out.
    """
    found = []
    for name in (reading.value, *reading.shows):
        if name in reading.takes:
            continue
        spread = _Spread(reading, system, parts, layout, name)
        if spread.asked().keys() - layout.keys():
            continue
        try:
            each = [p.value for p in spread.all()]
        except UnfitReadingError:
            continue
        title = "a fall of" if name == FALL else COMPUTATIONS[name].title
        unit = reading.takes["start"] if name == FALL else COMPUTATIONS[name].unit
        found.append((title, Between(min(each), max(each)), unit))
    return tuple(found)


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
    return _Spread(reading, system, parts, layout, reading.value).all()


class _Spread(msgspec.Struct, frozen=True):
    """A reading and its numbers, spread over what is not known."""

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


def _chance(span: Span, each: Possibility) -> float:
    """The chance that the true value lies in a range; an exact value on an edge counts half."""
    low = -1.0 if span.over is None else _normal(span.over.value - each.value, each.deviation)
    high = 1.0 if span.under is None else _normal(span.under.value - each.value, each.deviation)
    return max(high - low, 0.0) / 2.0


def _normal(distance: float, deviation: float) -> float:
    if deviation > 0.0:
        return math.erf(distance / deviation / math.sqrt(2.0))
    return float((distance > 0.0) - (distance < 0.0))
