"""Answers that conflict, with the authored lines that say so."""

from collections.abc import Sequence

import msgspec

from faultnet.advice.observe import observe
from faultnet.advice.subject import Subject
from faultnet.inference.conflict import conflicting
from faultnet.inference.engine import TooLargeError
from faultnet.inference.query import Query
from faultnet.model.evidence import Answer, Evidence, Round, Taken


class Said(msgspec.Struct, frozen=True):
    """One thing that was said: what about, the answer, the round and the authored line."""

    about: str
    answer: str
    round: int
    line: str


class _Item(msgspec.Struct, frozen=True):
    """One piece of evidence that can be left out."""

    round: int
    what: Answer | Taken | tuple[str, str] | tuple[str, bool]


def conflict(subject: Subject, evidence: Evidence) -> tuple[Said, ...]:
    """Return an irreducible set of answers that cannot all be true together."""
    items = [_Item(0, pair) for pair in evidence.layout.items()]
    items += [_Item(0, pair) for pair in evidence.circumstances.items()]
    for number, round_ in enumerate(evidence.rounds):
        items += [_Item(number, answer) for answer in round_.answers]
        items += [_Item(number, taken) for taken in round_.taken]

    def possible(kept: Sequence[_Item]) -> bool:
        observed = observe(subject, _only(evidence, kept))
        try:
            return Query(subject.network, observed).possible()
        except TooLargeError:
            return True  # no telling: such a set is never narrowed down further

    return tuple(_said(subject, item) for item in conflicting(items, possible))


def _only(evidence: Evidence, items: Sequence[_Item]) -> Evidence:
    """The evidence with only some of what was said; repairs stay."""
    layout: dict[str, str] = {}
    circumstances: dict[str, bool] = {}
    answers: list[list[Answer]] = [[] for _ in evidence.rounds]
    taken: list[list[Taken]] = [[] for _ in evidence.rounds]
    for item in items:
        if isinstance(item.what, Answer):
            answers[item.round].append(item.what)
        elif isinstance(item.what, Taken):
            taken[item.round].append(item.what)
        else:
            about, value = item.what
            if isinstance(value, bool):
                circumstances[about] = value
            else:
                layout[about] = value
    rounds = tuple(
        Round(tuple(answers[n]), tuple(taken[n]), r.repairs, r.redraws)
        for n, r in enumerate(evidence.rounds)
    )
    return Evidence(rounds, layout, circumstances)


def _said(subject: Subject, item: _Item) -> Said:
    knowledge = subject.knowledge
    if isinstance(item.what, Answer):
        finding = knowledge.findings[item.what.finding]
        return Said(finding.id, item.what.answer, item.round, str(finding.origin))
    if isinstance(item.what, Taken):
        reading = knowledge.readings[item.what.reading]
        return Said(reading.id, "as measured", item.round, str(reading.origin))
    about, value = item.what
    if isinstance(value, bool):
        line = knowledge.circumstances[about].origin
        return Said(about, "yes" if value else "no", item.round, str(line))
    return Said(about, value, item.round, str(knowledge.layouts[about].origin))
