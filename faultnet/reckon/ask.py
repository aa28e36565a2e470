"""What a calculator has to be told, and how that is read from what was typed."""

import math
import re
from typing import NamedTuple

import msgspec

from faultnet.reckon.limits import LIMITS, possible
from faultnet.reckon.units import UNITS, UnfitNumberError, converted, parts, quantity

PAIR = re.compile(r"\s*([\d.]+)\s*/\s*([\d.]+)\s*([^\s\d.]\S*)\s*", re.ASCII)


class Quantity(NamedTuple):
    """A number and the unit it was turned into."""

    value: float
    unit: str


class Pair(NamedTuple):
    """Two numbers written together, as the settings of a switch are: ``30/50psi``."""

    low: float
    high: float


Told = float | str | Quantity | Pair


class Ask(msgspec.Struct, frozen=True, kw_only=True):
    """One thing a calculator is told.

    ``units`` are those in which it is taken: none for a plain number, several where any kind
    will do. ``default`` is written as a technician would type it; without one it may be left
    out only if it is an option. ``key`` is the parameter of the calculator it goes to.
    """

    name: str
    key: str
    about: str
    units: tuple[str, ...] = ()
    default: str = ""
    choices: tuple[str, ...] = ()
    pair: bool = False
    word: bool = False
    option: bool = False

    @property
    def required(self) -> bool:
        """Whether nothing can be answered without it."""
        return not self.option and not self.default

    @property
    def written(self) -> str:
        """How it is written, as in ``10ft``."""
        if self.choices:
            return "|".join(self.choices)
        if self.pair:
            return f"LOW/HIGH{self.units[0]}"
        return " or ".join(f"NUMBER{unit}" for unit in self.units) or "NUMBER"


def take(ask: Ask, text: str) -> Told:
    """Return what was typed for an ask; raise ``UnfitNumberError`` with name and reason."""
    try:
        told = _read(ask, text)
    except UnfitNumberError as error:
        raise UnfitNumberError(f"{ask.name}: {error}") from error
    return told


def _read(ask: Ask, text: str) -> Told:
    if ask.word or ask.choices:
        return _word(ask, text)
    if ask.pair:
        return _pair(ask, text)
    if not ask.units:
        return _plain(ask, text)
    if len(ask.units) > 1:
        return _either(ask, text)
    number = quantity(text, ask.units[0])
    if ask.key in LIMITS:
        possible(**{ask.key: number})
    return number


def _word(ask: Ask, text: str) -> str:
    word = text.strip()
    known = {each.lower(): each for each in ask.choices}
    if known and word.lower() not in known:
        raise UnfitNumberError(f"`{word[:20]}` is none of {', '.join(ask.choices)}.")
    return known.get(word.lower(), word)


def _plain(ask: Ask, text: str) -> float:
    number, unit = parts(text, "Write a plain number, such as 4.")
    if unit:
        raise UnfitNumberError(f"`{text[:40]}` has a unit. Write a plain number, such as 4.")
    if not math.isfinite(number):
        raise UnfitNumberError(f"`{text[:40]}` is beyond all measure.")
    if ask.key in LIMITS:
        possible(**{ask.key: number})
    return number


def _pair(ask: Ask, text: str) -> Pair:
    found = PAIR.fullmatch(text)
    if found is None:
        example = ask.default or f"30/50{ask.units[0]}"
        raise UnfitNumberError(f"`{text[:40]}` is no pair of numbers. Write it as {example}.")
    low, high = (quantity(found[each] + found[3], ask.units[0]) for each in (1, 2))
    return Pair(low, high)


def _either(ask: Ask, text: str) -> Quantity:
    number, unit = parts(text, f"Write it as {ask.written}.")
    if not unit:
        raise UnfitNumberError(f"`{text[:40]}` has no unit. Write it as {ask.written}.")
    if not math.isfinite(number):
        raise UnfitNumberError(f"`{text[:40]}` is beyond all measure.")
    if unit in ask.units:
        return Quantity(number, unit)
    for wanted in ask.units:
        try:
            return Quantity(converted(number, unit, wanted), wanted)
        except UnfitNumberError:
            continue
    kinds = " or ".join(dict.fromkeys(UNITS[each].measures for each in ask.units))
    raise UnfitNumberError(f"`{unit[:20]}` is no unit of {kinds}. Write it as {ask.written}.")
