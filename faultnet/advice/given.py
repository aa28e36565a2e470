"""What people say of one trouble, checked against a system and made into evidence."""

import math
from collections.abc import Iterable

import msgspec

from faultnet.advice.observe import levels_of
from faultnet.advice.subject import Subject, UnknownNameError
from faultnet.model.evidence import Answer, Evidence, Round, Taken
from faultnet.reckon.units import UnfitNumberError, quantity

YES_NO = {"yes": True, "no": False}


class UnfitEvidenceError(Exception):
    """Something that was said cannot be taken: what about, why, and the mend."""

    def __init__(self, about: str, reason: str, mend: str = "") -> None:
        self.about, self.reason, self.mend = about, reason, mend
        super().__init__(" ".join(filter(None, (reason, mend))))


class Number(msgspec.Struct, frozen=True):
    """A part of a reading: a text with its unit, or a number in the reading's own unit."""

    reading: str
    part: str
    value: str | float


class GivenRound(msgspec.Struct, frozen=True):
    """What was said between two repairs; an answer may be about a circumstance too."""

    answers: tuple[Answer, ...] = ()
    measured: tuple[Number, ...] = ()
    repairs: tuple[str, ...] = ()


class Given(msgspec.Struct, frozen=True):
    """All that was said, the open round last; nothing of it has been looked at yet."""

    rounds: tuple[GivenRound, ...] = (GivenRound(),)
    layout: tuple[tuple[str, str], ...] = ()
    circumstances: tuple[tuple[str, bool], ...] = ()
    set_ups: tuple[str, ...] = ()
    made_safe: tuple[str, ...] = ()


def evidence_of(subject: Subject, given: Given) -> Evidence:
    """Return the evidence.

    Raises ``UnknownNameError`` for names that the system does not have, and
    ``UnfitEvidenceError`` for what contradicts itself or is no number with a unit.
    """
    numbered = list(enumerate(given.rounds, 1))
    answers = [_answers(subject, each.answers, number) for number, each in numbered]
    taken = [_taken(subject, each.measured, number) for number, each in numbered]
    for each in given.rounds:
        _all_known("repair", each.repairs, subject.mended_by)
    _all_known("finding", given.made_safe, [*subject.findings, *subject.system.circumstances])
    _all_known("set-up", given.set_ups, subject.knowledge.set_ups)
    rounds = tuple(
        Round(said, readings, tuple(dict.fromkeys(each.repairs)))
        for said, readings, each in zip(answers, taken, given.rounds, strict=True)
    )
    circumstances = _circumstances(subject, given)
    layout = _layout(subject, given.layout)
    return Evidence(rounds, layout, circumstances, given.set_ups, given.made_safe)


def _answers(subject: Subject, said: Iterable[Answer], number: int) -> tuple[Answer, ...]:
    held: dict[tuple[str, str], Answer] = {}
    for each in said:
        if each.finding in subject.system.circumstances:
            continue
        if each.finding in subject.system.layout:
            reason = f"`{each.finding}` is a fact of the layout."
            raise UnfitEvidenceError(each.finding, reason, "Give it as such.")
        _known("finding", each.finding, [*subject.findings, *subject.system.circumstances])
        entry = subject.knowledge.findings[each.finding]
        levels = levels_of(entry, each.answer)
        before = held.setdefault((each.finding, each.speaker), each)
        if levels_of(entry, before.answer) != levels:
            raise _twice(each.finding, before.answer, each.answer, number)
    return tuple(held.values())


def _taken(subject: Subject, measured: Iterable[Number], number: int) -> tuple[Taken, ...]:
    held: dict[str, dict[str, float]] = {}
    readings = subject.knowledge.readings
    here = [r.id for r in readings.values() if subject.findings.keys() >= set(r.findings)]
    for each in measured:
        _known("reading", each.reading, here)
        takes = readings[each.reading].takes
        _known(f"part of reading {each.reading}", each.part, takes)
        about, value = f"{each.reading}.{each.part}", _number(each, takes[each.part])
        before = held.setdefault(each.reading, {}).setdefault(each.part, value)
        if before != value:
            raise _twice(about, f"{before:g}", f"{value:g}", number)
    return tuple(Taken(reading, parts) for reading, parts in held.items())


def _number(each: Number, unit: str) -> float:
    if not isinstance(each.value, str) and math.isfinite(each.value):
        return float(each.value)
    try:
        return quantity(str(each.value), unit)
    except UnfitNumberError as error:
        about = f"{each.reading}.{each.part}"
        raise UnfitEvidenceError(about, f"{about}: {error}") from error


def _circumstances(subject: Subject, given: Given) -> dict[str, bool]:
    known = subject.system.circumstances
    held: dict[str, bool] = {}
    for each in (answer for round_ in given.rounds for answer in round_.answers):
        if each.finding in known:
            _known(f"answer to {each.finding}", each.answer, YES_NO)
            _held_once(held, each.finding, YES_NO[each.answer])
    for name, held_true in given.circumstances:
        _known("circumstance", name, known)
        _held_once(held, name, held_true)
    return held


def _held_once(held: dict[str, bool], name: str, value: bool) -> None:
    if held.setdefault(name, value) != value:
        raise _twice(name, "yes", "no")


def _layout(subject: Subject, said: Iterable[tuple[str, str]]) -> dict[str, str]:
    held: dict[str, str] = {}
    for about, value in said:
        _known("layout", about, subject.system.layout)
        _known(f"value of {about} here", value, subject.system.layout[about])
        before = held.setdefault(about, value)
        if before != value:
            raise _twice(about, before, value)
    return held


def _all_known(kind: str, names: Iterable[str], known: Iterable[str]) -> None:
    for name in names:
        _known(kind, name, known)


def _known(kind: str, name: str, known: Iterable[str]) -> None:
    names = list(known)
    if name not in names:
        raise UnknownNameError(kind, name, names)


def _twice(about: str, first: str, second: str, number: int = 0) -> UnfitEvidenceError:
    where = f" in round {number}" if number else ""
    reason = f"`{about}` is given twice{where}, as `{first}` and as `{second}`."
    return UnfitEvidenceError(about, reason, "Leave one out.")
