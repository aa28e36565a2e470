"""What was typed about one trouble, turned into evidence."""

import click

from faultnet.advice.given import Given, GivenRound, Number, UnfitEvidenceError
from faultnet.advice.given import evidence_of as evidence_given
from faultnet.advice.subject import Subject
from faultnet.cli.asked import Asked
from faultnet.cli.rounds import Said, open_round, pair, repair
from faultnet.model.evidence import Answer, Evidence


def evidence_of(subject: Subject, asked: Asked) -> Evidence:
    """Return the evidence.

    Raises ``UnknownNameError`` for names that the system does not have, and
    ``click.UsageError`` for what contradicts itself or is no number with a unit.
    """
    said = [pair(text, "FINDING=ANSWER") for text in asked.answers]
    measured = [pair(text, "READING.PART=NUMBERUNIT") for text in asked.measured]
    mended = [repair(text) for text in asked.mended]
    last = open_round([*said, *measured], mended)
    for name in (*(each.about for each in said), *asked.made_safe):
        if name in subject.system.layout:
            raise click.UsageError(f"`{name}` is a fact of the layout: give it with -l.")
    rounds = tuple(
        GivenRound(
            tuple(Answer(s.about, s.value, asked.speaker) for s in said if s.at(last) == number),
            tuple(_number(each) for each in measured if each.at(last) == number),
            tuple(each.about for each in mended if each.at(last - 1) == number),
        )
        for number in range(1, last + 1)
    )
    layout = [pair(text, "LAYOUT=VALUE") for text in asked.layout]
    given = Given(
        rounds,
        tuple((each.about, each.value) for each in layout),
        set_ups=asked.set_ups,
        made_safe=asked.made_safe,
    )
    try:
        return evidence_given(subject, given)
    except UnfitEvidenceError as error:
        raise click.UsageError(str(error)) from error


def _number(each: Said) -> Number:
    reading, _, part = each.about.partition(".")
    return Number(reading, part, each.value)
