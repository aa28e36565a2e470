"""The numbers that a turn wants, where what is typed is numbers."""

import math
from collections.abc import Callable

import msgspec

from faultnet.model.reading import Reading
from faultnet.visit import as_found, readings, walking
from faultnet.visit.progress import Progress
from faultnet.visit.talk import Talk


class Wanted(msgspec.Struct, frozen=True):
    """One number that is wanted, in its unit, with what it can be.

    ``part`` is that of a reading. The numbers that are needed stand in their order; any other is
    written ``part=number``, and ``known`` is what counts where it is left out.
    """

    part: str
    unit: str
    low: float = -math.inf
    high: float = math.inf
    needed: bool = True
    known: float | None = None


def wanted(talk: Talk, at: Progress, what: str) -> tuple[Wanted, ...]:
    """Return the numbers that typed text is to hold; none where it is words.

    ``what`` is that of ``turn.Typed``.
    """
    kind, _, name = what.partition(":")
    asks: dict[str, Callable[[], tuple[Wanted, ...]]] = {
        "look": lambda: _look(talk, name),
        "reading": lambda: _reading(at, talk.subject.knowledge.readings[name]),
        "part": lambda: _part(talk, at),
        "sheet": lambda: _sheet(name.partition(":")[0]),
    }
    return asks[kind]() if kind in asks else ()


def _look(talk: Talk, name: str) -> tuple[Wanted, ...]:
    unit = talk.subject.knowledge.as_found[name].unit
    return (Wanted("", unit, 0.0, as_found.MOST_PSI),)


def _reading(at: Progress, reading: Reading) -> tuple[Wanted, ...]:
    return _parts(at, reading, readings.needed(reading, at))


def _part(talk: Talk, at: Progress) -> tuple[Wanted, ...]:
    name, parts = walking.wanted(talk, at)
    return _parts(at, talk.subject.knowledge.readings[name], parts)


def _parts(at: Progress, reading: Reading, needed: tuple[str, ...]) -> tuple[Wanted, ...]:
    known = readings.of_site(reading, at)
    more = (p for p in reading.takes if p not in reading.required or p in known)
    both = dict.fromkeys((*needed, *more))
    return tuple(_one(reading, p, known.get(p), needed=p in needed) for p in both)


def _one(reading: Reading, part: str, known: float | None, *, needed: bool) -> Wanted:
    low, high = -math.inf, math.inf
    if part in reading.possible:
        low, high = (number.value for number in reading.possible[part])
    return Wanted(part, reading.takes[part], low, high, needed, known)


def _sheet(kind: str) -> tuple[Wanted, ...]:
    units = {"volume": "gal", "time": "h"}
    return (Wanted("", units[kind], 0.0),) if kind in units else ()
