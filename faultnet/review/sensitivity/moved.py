"""The knowledge with one authored number put to another value, wherever it is used."""

from collections.abc import Iterator
from functools import cached_property

import msgspec

from faultnet.advice.subject import Subject
from faultnet.model.knowledge import Knowledge
from faultnet.model.origin import Number, Origin

SECTIONS = ("findings", "checks", "repairs", "set_ups", "systems")
"""Sections whose entries may hold a number besides those of the network."""
WHOLE = ("words", "rates")
"""Sections that are one entry."""


class Moved(msgspec.Struct, frozen=True, dict=True):
    """Knowledge whose numbers are put to other values, one at a time."""

    knowledge: Knowledge

    def subject(self, subject: Subject, number: Number, value: float) -> Subject:
        """Return a system with a number changed, and its network as it is."""
        changed = self.with_number(number, value)
        return Subject(changed, changed.systems[subject.system.id], subject.network)

    def with_number(self, number: Number, value: float) -> Knowledge:
        """Return the knowledge with a number changed; the network's own are left alone."""
        changes: dict[str, object] = {}
        for section, name in self._holders.get(number.origin, ()):
            held = changes.get(section, getattr(self.knowledge, section))
            if isinstance(held, dict):
                changes[section] = {**held, name: _put(held[name], number.origin, value)}
            else:
                changes[section] = _put(held, number.origin, value)
        return msgspec.structs.replace(self.knowledge, **changes)

    @cached_property
    def _holders(self) -> dict[Origin, list[tuple[str, str]]]:
        """The entries, by section and id, that hold the number at a place."""
        found: dict[Origin, dict[tuple[str, str], None]] = {}
        for section in SECTIONS:
            for name, entry in getattr(self.knowledge, section).items():
                for number in _numbers(entry):
                    found.setdefault(number.origin, {})[section, name] = None
        for section in WHOLE:
            for number in _numbers(getattr(self.knowledge, section)):
                found.setdefault(number.origin, {})[section, ""] = None
        return {origin: list(holders) for origin, holders in found.items()}


def _numbers(entry: object) -> Iterator[Number]:
    if isinstance(entry, Number):
        yield entry
    elif isinstance(entry, msgspec.Struct):
        for field in entry.__struct_fields__:
            yield from _numbers(getattr(entry, field))
    elif isinstance(entry, (tuple, dict)):
        for each in entry.values() if isinstance(entry, dict) else entry:
            yield from _numbers(each)


def _put(entry: object, origin: Origin, value: float) -> object:
    """An entry with the number at a place changed."""
    if isinstance(entry, Number):
        return msgspec.structs.replace(entry, value=value) if entry.origin == origin else entry
    if isinstance(entry, msgspec.Struct):
        fields = {f: _put(getattr(entry, f), origin, value) for f in entry.__struct_fields__}
        return type(entry)(**fields)
    if isinstance(entry, tuple):
        return tuple(_put(each, origin, value) for each in entry)
    if isinstance(entry, dict):
        return {key: _put(each, origin, value) for key, each in entry.items()}
    return entry
