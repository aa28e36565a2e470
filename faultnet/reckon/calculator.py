"""A calculator: what it is told, and the answer."""

from collections.abc import Callable, Mapping

import msgspec

from faultnet.reckon.answer import Answer
from faultnet.reckon.ask import Ask, Told, take
from faultnet.reckon.units import UnfitNumberError


class Calculator(msgspec.Struct, frozen=True):
    """What is asked, in the order it is typed, and what answers it.

    ``work`` takes the key of each ask that was told or has a default, as a keyword; those
    that are fields of a kind in ``gathered`` come together, under its name.
    ``example`` is what to type behind the name; its numbers are invented.
    """

    asks: tuple[Ask, ...]
    work: Callable[..., Answer]
    example: str
    gathered: dict[str, type[msgspec.Struct]] = {}

    def answer(self, values: Mapping[str, Told]) -> Answer:
        """Return the answer to values by key; raise ``UnfitNumberError``."""
        left = dict(values)
        together = {
            name: kind(**{f: left.pop(f) for f in kind.__struct_fields__ if f in left})
            for name, kind in self.gathered.items()
        }
        return self.work(**left, **together)


class Reckoned(msgspec.Struct, frozen=True):
    """An answer with what it was made from, each as it was typed or taken for granted."""

    answer: Answer
    told: dict[str, str]
    assumed: dict[str, str]

    @property
    def taken_for_granted(self) -> tuple[str, ...]:
        """Everything that nobody said, in words."""
        return (*(f"{about}: {text}" for about, text in self.assumed.items()), *self.answer.assumed)


def reckon(calculator: Calculator, typed: Mapping[str, str]) -> Reckoned:
    """Return the answer to what was typed, by the names of the asks.

    Raises ``UnfitNumberError`` for what is missing, unknown or cannot be.
    """
    unknown = typed.keys() - {ask.name for ask in calculator.asks}
    if unknown:
        raise UnfitNumberError(f"Nothing here is called {min(unknown)[:40]}.")
    values: dict[str, Told] = {}
    assumed = {}
    for ask in calculator.asks:
        text = typed.get(ask.name, ask.default)
        if not text:
            if ask.required or ask.name in typed:
                raise UnfitNumberError(f"{ask.name} is missing: {ask.about}, {ask.written}.")
            continue
        values[ask.key] = take(ask, text)
        if ask.name not in typed:
            assumed[ask.about] = f"{text} ({ask.name} not given)"
    answer = calculator.answer(values)
    if not all(each.finite for each in answer.figures):
        raise UnfitNumberError("These numbers lead to a figure without end. Look at them again.")
    return Reckoned(answer, dict(typed), assumed)
