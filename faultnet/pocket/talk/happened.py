"""`history`: what was told and done in a case, round by round."""

import msgspec

from faultnet.advice.subject import Subject
from faultnet.model.evidence import Evidence
from faultnet.pocket.talk.carried import Carried, OfCase
from faultnet.visit.history import history
from faultnet.visit.told import title_of


class HappenedLine(msgspec.Struct, frozen=True):
    """An event in words, its time (UTC) and its author."""

    at: str
    author: str
    text: str


class RoundTold(msgspec.Struct, frozen=True):
    """What happened in a round."""

    title: str
    lines: tuple[HappenedLine, ...]


class History(msgspec.Struct, frozen=True):
    """The rounds in their order."""

    rounds: tuple[RoundTold, ...]


def happened(carried: Carried, asked: OfCase) -> History:
    """Tell what happened in a case."""
    visit = carried.held(asked).kept
    subject, case = visit.talk.subject, visit.at.case
    lines: dict[int, list[HappenedLine]] = {}
    for each in history(subject, case):
        lines.setdefault(each.round, []).append(HappenedLine(each.at, each.author, each.text))
    rounds = range(len(case.evidence.rounds))
    return History(
        tuple(RoundTold(_title(subject, case.evidence, n), tuple(lines.get(n, ()))) for n in rounds)
    )


def _title(subject: Subject, evidence: Evidence, number: int) -> str:
    if not number:
        return "At first"
    repairs = evidence.rounds[number - 1].repairs
    titles = "; ".join(title_of(subject, repair) for repair in repairs)
    return f"After: {titles}" if titles else "After a change to the system"
