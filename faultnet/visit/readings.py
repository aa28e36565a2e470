"""A number from an instrument, typed as the parts of a reading."""

from collections.abc import Mapping
from contextlib import suppress

from faultnet.advice.observe import read
from faultnet.advice.possibilities import UnfitReadingError
from faultnet.cases.events import Measured
from faultnet.model.evidence import Taken
from faultnet.model.reading import Reading
from faultnet.reckon.units import UnfitNumberError, is_unit, number_in, quantity
from faultnet.visit.progress import Progress
from faultnet.visit.talk import Talk
from faultnet.visit.told import title_of
from faultnet.visit.turn import BACK, KEYS, Line, Reply, Turn, Typed


def readings_about(talk: Talk, about: str) -> tuple[Reading, ...]:
    """Return the readings that speak about a finding; without one, all that can be taken here."""
    here = talk.subject.findings.keys()
    known = (r for r in talk.subject.knowledge.readings.values() if here >= set(r.findings))
    return tuple(reading for reading in known if not about or about in reading.findings)


def choice(talk: Talk, about: str) -> Turn:
    """Return the turn that asks which of several readings was taken."""
    offered = tuple(
        Reply(key, each.title, view=f"reading:{each.id}")
        for key, each in zip(KEYS, readings_about(talk, about), strict=False)
    )
    title = title_of(talk.subject, about) if about else "Which reading was taken?"
    return Turn("readings", "Measured", title, (), (*offered, BACK))


def reading_turn(talk: Talk, at: Progress, name: str, unfit: str = "") -> Turn:
    """Return the turn that asks for the numbers of a reading; ``unfit`` says what was wrong."""
    reading = talk.subject.knowledge.readings[name]
    wanted = ", ".join(f"{part} in {reading.takes[part]}" for part in needed(reading, at))
    lines = [Line("say", f"In this order: {wanted}.")]
    lines += also(reading, at)
    lines += [Line("note", reading.note)] if reading.note else []
    lines += [Line("caution", unfit)] if unfit else []
    typed = Typed(f"reading:{name}", "Numbers, with spaces between:")
    return Turn("reading", "Measured", reading.title, tuple(lines), (BACK,), typed=typed)


def also(reading: Reading, at: Progress) -> list[Line]:
    """Return what is known of the site, what else may be given, and how it is written."""
    known = of_site(reading, at)
    more = [p for p in reading.takes if p not in reading.required or p in known]
    parts = ", ".join(f"{part} in {reading.takes[part]}" for part in more)
    told = ", ".join(f"{part} {value:g} {reading.takes[part]}" for part, value in known.items())
    lines = [Line("say", f"If known, after them: {parts}. Write {more[0]}=NUMBER.")] if more else []
    return [*lines, *([Line("say", f"Taken from the site unless given: {told}.")] if told else [])]


def of_site(reading: Reading, at: Progress) -> dict[str, float]:
    """Return the parts that are settings of the site, as far as their numbers can be."""
    found: dict[str, float] = {}
    for part in reading.of_site:
        with suppress(UnfitNumberError):
            number = {part: quantity(at.case.settings.get(part, ""), reading.takes[part])}
            found |= {} if reading.refusal(number) else number
    return found


def needed(reading: Reading, at: Progress) -> tuple[str, ...]:
    """Return the parts that must be typed."""
    known = of_site(reading, at)
    return tuple(part for part in reading.required if part not in known)


def measured(talk: Talk, at: Progress, name: str, text: str) -> Measured | Turn:
    """Return the reading that was typed, or the turn that asks again."""
    reading = talk.subject.knowledge.readings[name]
    try:
        typed = numbers_of(reading, needed(reading, at), text)
        taken = Taken(name, {**of_site(reading, at), **typed})
        read(talk.subject, taken, at.evidence.layout)
    except (UnfitNumberError, UnfitReadingError) as error:
        return reading_turn(talk, at, name, str(error))
    return Measured(name, taken.parts)


def numbers_of(reading: Reading, parts: tuple[str, ...], text: str) -> dict[str, float]:
    """Return numbers that were typed for parts of a reading, each in the reading's unit.

    Those of ``parts`` stand in their order; any other is written ``part=number``. Raises
    ``UnfitReadingError`` for too few or too many, ``UnfitNumberError`` for one that is no
    number of that unit.
    """
    words = _words(text)
    plain = [word for word in words if "=" not in word]
    if len(plain) != len(parts):
        wanted = "1 number is" if len(parts) == 1 else f"{len(parts)} numbers are"
        raise UnfitReadingError(f"{wanted} needed.")
    more = tuple(part for part in reading.takes if part not in parts)
    named = _named(more, [word for word in words if "=" in word])
    typed = {**dict(zip(parts, plain, strict=True)), **named}
    return {part: _number(reading, part, word) for part, word in typed.items()}


def _words(text: str) -> list[str]:
    """The words of a text; a unit belongs to the number before it."""
    words: list[str] = []
    for word in text.split():
        if words and "=" not in word and is_unit(word) and words[-1][-1] in "0123456789.":
            words[-1] += word
        else:
            words.append(word)
    return words


def _named(more: tuple[str, ...], words: list[str]) -> Mapping[str, str]:
    """The further parts that were typed with their names."""
    named: dict[str, str] = {}
    for word in words:
        part, _, number = word.partition("=")
        if part not in more or part in named or not number:
            told = f" Write one of {', '.join(more)} once, as {more[0]}=NUMBER." if more else ""
            raise UnfitReadingError(f"`{word[:40]}` is not understood.{told}")
        named[part] = number
    return named


def _number(reading: Reading, part: str, word: str) -> float:
    try:
        return number_in(word, reading.takes[part])
    except UnfitNumberError as error:
        raise UnfitNumberError(f"{part}: {error}") from error
