"""What was typed about one trouble, turned into evidence."""

from collections.abc import Sequence

import click

from faultnet.advice.observe import levels_of
from faultnet.advice.subject import Subject, UnknownNameError
from faultnet.cli.asked import Asked
from faultnet.cli.rounds import Said, open_round, pair, repair
from faultnet.model.evidence import Answer, Evidence, Round, Taken
from faultnet.reckon.units import UnfitNumberError, quantity

YES_NO = {"yes": True, "no": False}


def evidence_of(subject: Subject, asked: Asked) -> Evidence:
    """Return the evidence.

    Raises ``UnknownNameError`` for names that the system does not have, and
    ``click.UsageError`` for what contradicts itself or is no number with a unit.
    """
    said = [pair(text, "FINDING=ANSWER") for text in asked.answers]
    measured = [pair(text, "READING.PART=NUMBERUNIT") for text in asked.measured]
    mended = [repair(text) for text in asked.mended]
    last = open_round([*said, *measured], mended)
    happened = [each for each in said if each.about in subject.system.circumstances]
    seen = [each for each in said if each not in happened]
    answers, taken = _answers(subject, seen, last, asked.speaker), _taken(subject, measured, last)
    repairs = [(m.at(last - 1), _repair(subject, m.about)) for m in mended]
    rounds = tuple(
        Round(
            tuple(answer for n, answer in answers if n == number),
            tuple(reading for n, reading in taken if n == number),
            tuple(dict.fromkeys(each for n, each in repairs if n == number)),
        )
        for number in range(1, last + 1)
    )
    for finding in asked.made_safe:
        _finding(subject, finding)
    for set_up in asked.set_ups:
        _known("set-up", set_up, list(subject.knowledge.set_ups))
    circumstances = _circumstances(happened)
    layout = _layout(subject, asked.layout)
    return Evidence(rounds, layout, circumstances, asked.set_ups, asked.made_safe)


def _answers(
    subject: Subject, said: Sequence[Said], last: int, speaker: str
) -> list[tuple[int, Answer]]:
    held: dict[tuple[int, str], str] = {}
    for each in said:
        _finding(subject, each.about)
        levels = levels_of(subject.knowledge.findings[each.about], each.value)
        key = (each.at(last), each.about)
        before = held.setdefault(key, each.value)
        if levels_of(subject.knowledge.findings[each.about], before) != levels:
            raise _twice(each.about, before, each.value, each.at(last))
    return [(number, Answer(about, said, speaker)) for (number, about), said in held.items()]


def _taken(subject: Subject, measured: Sequence[Said], last: int) -> list[tuple[int, Taken]]:
    held: dict[tuple[int, str], dict[str, float]] = {}
    for each in measured:
        name, _, part = each.about.partition(".")
        readings = subject.knowledge.readings
        here = [r.id for r in readings.values() if subject.findings.keys() >= set(r.findings)]
        _known("reading", name, here)
        _known(f"part of reading {name}", part, list(readings[name].takes))
        try:
            number = quantity(each.value, readings[name].takes[part])
        except UnfitNumberError as error:
            raise click.UsageError(f"{each.about}: {error}") from error
        parts = held.setdefault((each.at(last), name), {})
        if parts.setdefault(part, number) != number:
            raise _twice(each.about, f"{parts[part]:g}", f"{number:g}", each.at(last))
    return [(number, Taken(reading, parts)) for (number, reading), parts in held.items()]


def _circumstances(happened: Sequence[Said]) -> dict[str, bool]:
    held: dict[str, bool] = {}
    for each in happened:
        _known(f"answer to {each.about}", each.value, list(YES_NO))
        if held.setdefault(each.about, YES_NO[each.value]) != YES_NO[each.value]:
            raise _twice(each.about, "yes", "no")
    return held


def _layout(subject: Subject, texts: Sequence[str]) -> dict[str, str]:
    held: dict[str, str] = {}
    for text in texts:
        each = pair(text, "LAYOUT=VALUE")
        _known("layout", each.about, list(subject.system.layout))
        _known(f"value of {each.about} here", each.value, list(subject.system.layout[each.about]))
        before = held.setdefault(each.about, each.value)
        if before != each.value:
            raise _twice(each.about, before, each.value)
    return held


def _repair(subject: Subject, name: str) -> str:
    _known("repair", name, list(subject.mended_by))
    return name


def _finding(subject: Subject, name: str) -> None:
    if name in subject.system.layout:
        raise click.UsageError(f"`{name}` is a fact of the layout: give it with -l.")
    _known("finding", name, [*subject.findings, *subject.system.circumstances])


def _known(kind: str, name: str, known: list[str]) -> None:
    if name not in known:
        raise UnknownNameError(kind, name, known)


def _twice(about: str, first: str, second: str, number: int = 0) -> click.UsageError:
    where = f" in round {number}" if number else ""
    return click.UsageError(
        f"`{about}` is given twice{where}, as `{first}` and as `{second}`. Leave one out."
    )
