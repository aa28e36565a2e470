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
        taken = Taken(name, _parts(reading, text))
        read(talk.subject, taken)
    except (UnfitNumberError, UnfitReadingError) as error:
        return reading_turn(talk, name, str(error))
    return Measured(name, taken.parts)


def _parts(reading: Reading, text: str) -> dict[str, float]:
    words = text.split()
    if len(words) != len(reading.takes):
        raise UnfitReadingError(f"{len(reading.takes)} numbers are needed.")
    return {
        part: quantity(word if word[-1].isalpha() else f"{word}{unit}", unit)
        for (part, unit), word in zip(reading.takes.items(), words, strict=True)
    }
