"""Whether the parts of a reading fit its value, their units, and each other."""

from collections.abc import Iterable, Iterator

from faultnet.authoring.nearest import did_you_mean
from faultnet.authoring.node import Mapping
from faultnet.authoring.scope import Scope
from faultnet.model.origin import Origin
from faultnet.model.reading import FALL, FALL_PARTS, Reading
from faultnet.reckon.units import UNITS, UnfitNumberError, converted
from faultnet.reckon.worked import COMPUTATIONS, INSTEAD

_OF_PARTS = ("accuracy-of", "unknown", "optional", "of-site", "at-least", "possible")
"""Keys that name parts."""


def fitting(reading: Reading, node: Mapping, scope: Scope) -> None:
    """Tell what does not fit; what was refused already is passed over."""
    if not reading.takes or not reading.value:
        return
    told = len(scope.told)
    for problem in (_units, _strange_parts, _values):
        problem(reading, node, scope)
    _inaccurate(node, scope)
    if len(scope.told) == told and all(reading.takes.values()) and all(reading.shows):
        for name in (reading.value, *reading.shows):
            _needs(reading, name, node, scope)
        _grades(reading, node, scope)


def _place(node: Mapping, key: str) -> Origin:
    return node.entries[key].origin if key in node.entries else node.origin


def _units(reading: Reading, node: Mapping, scope: Scope) -> None:
    for unit in reading.takes.values():
        if unit and unit not in UNITS:
            message = f"There is no unit `{unit[:20]}` here."
            hint = did_you_mean(unit, tuple(UNITS)) or "The units stand in docs/readings.md."
            scope.tell("unknown-value", _place(node, "takes"), message, hint)


def _strange_parts(reading: Reading, node: Mapping, scope: Scope) -> None:
    keys = (reading.accuracy_of, reading.unknown, reading.optional, reading.of_site)
    named: Iterable[Iterable[str]] = (*keys, reading.at_least, reading.possible)
    for key, parts in zip(_OF_PARTS, named, strict=True):
        for part in parts:
            if part and part not in reading.takes:
                message = f"The reading takes no `{part[:40]}`."
                hint = did_you_mean(part, tuple(reading.takes)) or "Add it to `takes`."
                scope.tell("unknown-value", _place(node, key), message, hint)


def _values(reading: Reading, node: Mapping, scope: Scope) -> None:
    known = (*reading.takes, FALL, *COMPUTATIONS)
    for key, names in (("value", (reading.value,)), ("shows", reading.shows)):
        for name in names:
            if name and name not in known:
                message = f"The reading takes no `{name[:40]}`, and nothing is worked out so."
                hint = did_you_mean(name, known) or f"Write a part or one of {', '.join(known)}."
                scope.tell("unknown-value", _place(node, key), message, hint)


def _inaccurate(node: Mapping, scope: Scope) -> None:
    if "accuracy" not in node.entries and "accuracy-of" not in node.entries:
        hint = "Add `accuracy`, of the value, or `accuracy-of`, of its parts."
        scope.tell("missing-key", node.origin, "Nothing says how accurate it is.", hint)


def _needs(reading: Reading, name: str, node: Mapping, scope: Scope) -> None:
    """Tell parts that a value is worked out of and that are not there, or of another kind."""
    needs = _parts_of(reading, name)
    origin = _place(node, "value" if name == reading.value else "shows")
    for part, unit in _all_parts(reading, needs):
        if part not in reading.takes:
            hint = f"Add `{part}: {unit}` to `takes`."
            scope.tell("unfit-reading", origin, f"`{name}` also needs `{part}`.", hint)
        elif reason := _other_kind(reading.takes[part], unit):
            scope.tell("unfit-reading", _place(node, "takes"), f"`{part}`: {reason}", _hint(unit))
    for part in needs:
        left_out = part in reading.optional and part in reading.takes
        if name == reading.value and left_out and not _always_worked_out(reading, part):
            message = f"Without `{part}` there is no `{name}`."
            hint = f"Say under `unknown` what holds when `{part}` is not read."
            scope.tell("unfit-reading", _place(node, "optional"), message, hint)


def _parts_of(reading: Reading, name: str) -> dict[str, str]:
    if name == FALL:
        unit = reading.takes.get(FALL_PARTS[0], "psi")
        return dict.fromkeys(FALL_PARTS, unit)
    return {name: reading.takes[name]} if name in reading.takes else COMPUTATIONS[name].needs


def _all_parts(reading: Reading, needs: dict[str, str]) -> Iterator[tuple[str, str]]:
    """Yield the parts of a value, with those taken that others are worked out of."""
    for part, unit in needs.items():
        ways = INSTEAD.get(part, ())
        if part in reading.takes or not _always_worked_out(reading, part):
            yield part, unit
        for way in ways:
            yield from ((p, u) for p, u in way.needs.items() if p in reading.takes)


def _always_worked_out(reading: Reading, part: str) -> bool:
    return any(set(way.needs) <= set(reading.required) for way in INSTEAD.get(part, ()))


def _other_kind(unit: str, wanted: str) -> str:
    try:
        converted(1.0, unit, wanted)
    except UnfitNumberError as error:
        return str(error)
    return ""


def _hint(unit: str) -> str:
    return f"Take it in {unit}, or in another unit of {UNITS[unit].measures}."


def _grades(reading: Reading, node: Mapping, scope: Scope) -> None:
    """Tell grades of gauges where no pressure is read."""
    unit = _parts_of(reading, reading.value).get(reading.value, "%")
    of_value = [("accuracy", unit, reading.accuracy)] if reading.accuracy else []
    of_parts = [("accuracy-of", reading.takes[p], a) for p, a in reading.accuracy_of.items()]
    for key, unit, accuracy in (*of_value, *of_parts):
        if accuracy.grade and UNITS[unit].measures != "pressure":
            message = f"A grade of gauge says nothing about a number in {unit}."
            scope.tell("unfit-reading", _place(node, key), message, "Write {percent: 2}.")
