"""The numbers of a reading, and what is worked out of them, in words."""

from collections.abc import Mapping

from faultnet.advice.readings import figures
from faultnet.advice.subject import Subject
from faultnet.model.evidence import Taken
from faultnet.model.in_words import plain
from faultnet.reckon.answer import rounded
from faultnet.reckon.units import PLAIN


def numbers_said(subject: Subject, taken: Taken, layout: Mapping[str, str]) -> str:
    """Return the numbers of a reading with their units, and what is worked out of them."""
    reading = subject.knowledge.readings[taken.reading]
    told = [
        f"{'' if part == 'minutes' else plain(part) + ' '}{with_unit(value, reading.takes[part])}"
        for part, value in taken.parts.items()
    ]
    for title, between, unit in figures(reading, subject.system, taken.parts, layout):
        low, high = (with_unit(float(rounded(each)), unit) for each in between)
        told.append(f"{title} {low}" if low == high else f"{title} {low} to {high}")
    return ", ".join(told)


def with_unit(value: float, unit: str) -> str:
    """Return a number with its unit, as it is said."""
    return f"{value:g}" if unit == PLAIN else f"{value:g} {unit}"
