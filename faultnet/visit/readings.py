"""A number from an instrument, typed as the parts of a reading."""

from faultnet.advice.observe import UnfitReadingError, read
from faultnet.cases.events import Measured
from faultnet.model.evidence import Taken
from faultnet.model.reading import Reading
from faultnet.reckon.units import UnfitNumberError, quantity
from faultnet.visit.talk import Talk
from faultnet.visit.turn import Line, Reply, Turn, Typed


def reading_turn(talk: Talk, name: str, unfit: str = "") -> Turn:
    """Return the turn that asks for the numbers of a reading; ``unfit`` says what was wrong."""
    reading = talk.subject.knowledge.readings[name]
    order = ", ".join(f"{part} in {unit}" for part, unit in reading.takes.items())
    lines = [Line("say", f"In this order, with spaces between: {order}.")]
    lines += [Line("note", reading.note)] if reading.note else []
    lines += [Line("caution", unfit)] if unfit else []
    back = Reply("b", "back", view="back")
    typed = Typed(f"reading:{name}", "Numbers:")
    return Turn("reading", "Measured", reading.title, tuple(lines), (back,), typed=typed)


def measured(talk: Talk, name: str, text: str) -> Measured | Turn:
    """Return the reading that was typed, or the turn that asks again."""
    reading = talk.subject.knowledge.readings[name]
    try:
        taken = Taken(name, numbers_of(reading, tuple(reading.takes), text))
        read(talk.subject, taken)
    except (UnfitNumberError, UnfitReadingError) as error:
        return reading_turn(talk, name, str(error))
    return Measured(name, taken.parts)


def numbers_of(reading: Reading, parts: tuple[str, ...], text: str) -> dict[str, float]:
    """Return numbers that were typed for parts of a reading, each in the reading's unit.

    Raises ``UnfitReadingError`` for too few or too many, ``UnfitNumberError`` for one that
    is no number of that unit.
    """
    words = text.split()
    if len(words) != len(parts):
        wanted = "1 number is" if len(parts) == 1 else f"{len(parts)} numbers are"
        raise UnfitReadingError(f"{wanted} needed.")
    return {
        part: quantity(
            word if word[-1].isalpha() else f"{word}{reading.takes[part]}", reading.takes[part]
        )
        for part, word in zip(parts, words, strict=True)
    }
