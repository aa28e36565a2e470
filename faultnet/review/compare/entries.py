"""Knowledge as plain entries: key by key, each value as a text with its place.

What two files say alike comes out alike: order, layout and comments of the files are gone,
and a number written as a word is that word, whose own number stands among the words.
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import TypeAlias

import msgspec

from faultnet.model.example import Example
from faultnet.model.knowledge import Knowledge
from faultnet.model.origin import NOWHERE, Number, Origin


class Value(msgspec.Struct, frozen=True):
    """What stands under a key, and where."""

    text: str
    place: Origin


Name: TypeAlias = tuple[str, str]
"""Kind and id of an entry."""

Entry: TypeAlias = dict[str, Value]
"""Key to value; a key below another one follows it after a dot."""

KINDS = {
    "words": "words",
    "rates": "rates",
    "sources": "source",
    "layouts": "layout",
    "circumstances": "circumstance",
    "parts": "part",
    "systems": "system",
    "causes": "cause",
    "findings": "finding",
    "checks": "check",
    "repairs": "repair",
    "set_ups": "set-up",
    "readings": "reading",
    "look_alikes": "look-alike",
    "procedures": "procedure",
    "stock": "item",
    "lead_times": "lead-time",
    "as_found": "as-found",
    "regions": "region",
    "learnt": "learnt",
}
"""Fields of the knowledge, and what an entry of each is called."""

NAMED_BY = ("finding", "cause", "about", "answer", "id", "reading")
"""Fields that tell entries of a list apart, the first that is there."""
ONE_VALUE = {"strength", "factor", "prior", "answer"}
"""Fields that stand for their whole entry."""
IN_ORDER = {"steps", "cautions", "answers", "before", "after", "rounds"}
"""Lists whose order means something; of any other the order is not looked at."""
UNDER_NO_KEY = {"work", "evidence", "expect"}
"""Fields whose own fields are written beside them in the files."""


def entries_of(knowledge: Knowledge, examples: Iterable[Example] = ()) -> dict[Name, Entry]:
    """Return every entry of the knowledge and every case, by kind and id."""
    found: dict[Name, Entry] = {}
    for field, kind in KINDS.items():
        held = getattr(knowledge, field)
        if not isinstance(held, dict):
            found[kind, kind] = _entry(held)
            continue
        for name, entry in held.items():
            if not getattr(entry, "found_cause", ""):
                found[kind, name] = _entry(entry)
    _tell_looks(knowledge, found)
    for example in examples:
        found["case", example.id] = _entry(example)
    return found


def _entry(value: msgspec.Struct) -> Entry:
    """All that an entry says itself: what another file says for it is told there."""
    place = getattr(value, "origin", NOWHERE)
    fields = _fields(value, "", place, {"id"})
    return {k: v for k, v in fields if place == NOWHERE or v.place.file == place.file}


def _tell_looks(knowledge: Knowledge, found: dict[Name, Entry]) -> None:
    """Tell with each check what it looks for; it stands as findings and links elsewhere."""
    made = {f.id: f for f in knowledge.findings.values() if f.found_cause}
    for cause in knowledge.causes.values():
        entry = found["cause", cause.id]
        for shows in cause.shows:
            if shows.finding in made:
                for key in [k for k in entry if k.startswith(f"shows.{shows.finding}")]:
                    del entry[key]
    for check in knowledge.checks.values():
        entry = found["check", check.id]
        plain = [name for name in check.reveals if name not in made]
        entry["reveals"] = Value(", ".join(sorted(plain)), check.origin)
        for finding in (made[name] for name in check.reveals if name in made):
            cause = knowledge.causes[finding.found_cause]
            key = f"looks-for.{cause.id}"
            for shows in cause.shows:
                if shows.finding == finding.id:
                    entry |= _values(shows.strength, key, shows.origin)
                    entry |= _values(shows.when, f"{key}.when", shows.origin)
            entry |= _values(finding.shows_anyway, f"{key}.false-alarm", finding.origin)


Pairs: TypeAlias = Iterator[tuple[str, Value]]


def _fields(value: msgspec.Struct, under: str, place: Origin, left_out: set[str]) -> Pairs:
    place = getattr(value, "origin", place)
    for field in value.__struct_fields__:
        if field in left_out:
            continue
        if field in UNDER_NO_KEY or (under and field in ONE_VALUE):
            key = under
        else:
            key = _below(under, field.replace("_", "-"))
        yield from _values(getattr(value, field), key, place)


def _values(value: object, key: str, place: Origin) -> Pairs:
    match value:
        case Origin() | None | "":
            return
        case Number():
            yield key, Value(_number(value), value.origin)
        case msgspec.Struct():
            yield from _fields(value, key, place, set())
        case Mapping():
            for name, each in value.items():
                yield from _values(each, _below(key, str(name)), place)
        case tuple():
            yield from _list(value, key, place)
        case bool():
            yield key, Value("yes" if value else "no", place)
        case float():
            yield key, Value(f"{value:g}", place)
        case _:
            yield key, Value(str(value), place)


def _list(values: tuple[object, ...], key: str, place: Origin) -> Pairs:
    field = key.rpartition(".")[2]
    if all(isinstance(each, Number) for each in values):
        numbers = [each for each in values if isinstance(each, Number)]
        if numbers:
            yield key, Value(", ".join(map(_number, numbers)), numbers[0].origin)
    elif all(isinstance(each, msgspec.Struct) for each in values):
        yield from _structs([v for v in values if isinstance(v, msgspec.Struct)], key, place)
    elif field in IN_ORDER:
        for number, each in enumerate(values, start=1):
            yield from _values(each, f"{key}.{number}", place)
    else:
        yield key, Value(", ".join(sorted(map(_plain, values))), place)


def _structs(values: list[msgspec.Struct], key: str, place: Origin) -> Pairs:
    """Entries of a list, each under what it is about; again about the same, with a number."""
    seen: dict[str, int] = {}
    for number, each in enumerate(values, start=1):
        by = next((f for f in NAMED_BY if isinstance(getattr(each, f, None), str)), "")
        name = getattr(each, by) if by else str(number)
        if by == "about" and hasattr(each, "value"):
            name = f"{name}={each.value}"
        seen[name] = seen.get(name, 0) + 1
        again = f" ({seen[name]})" if seen[name] > 1 else ""
        left_out = {by, "value"} if by == "about" else {by}
        yield from _fields(each, _below(key, f"{name}{again}"), place, left_out)


def _number(number: Number) -> str:
    value = number.word or f"{number.value:g}"
    return f"{value} ({', '.join(number.provenance)})"


def _plain(value: object) -> str:
    return " before ".join(map(str, value)) if isinstance(value, tuple) else str(value)


def _below(under: str, key: str) -> str:
    return f"{under}.{key}" if under else key
