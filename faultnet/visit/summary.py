"""What was found and what was done, round by round."""

from collections.abc import Mapping

from faultnet.cases.written import sheet_of
from faultnet.model.evidence import Evidence, Round
from faultnet.visit.early import ended_early
from faultnet.visit.figures import numbers_said
from faultnet.visit.mended import mended_by
from faultnet.visit.progress import Progress, wrong
from faultnet.visit.said import said
from faultnet.visit.sheet.line import line_said
from faultnet.visit.talk import Talk
from faultnet.visit.told import answer_said, title_of
from faultnet.visit.turn import Line


def summary(talk: Talk, at: Progress) -> tuple[Line, ...]:
    """Return the summary as lines."""
    lines = _installation(talk, at.evidence)
    several = len(at.evidence.rounds) > 1
    for number, round_ in enumerate(at.evidence.rounds):
        if several:
            lines.append(Line("say", "At first:" if number == 0 else f"After repair {number}:"))
        lines += [Line("item", text) for text in _found(talk, round_, at.evidence.layout)]
        for repair in round_.repairs:
            stayed = "; the trouble stayed" if _wrong_after(talk, at.evidence, number) else ""
            lines.append(Line("item", f"Done: {title_of(talk.subject, repair)}{stayed}"))
            lines += _likeliest(talk, at.evidence, number, repair)
    lines += _stopped(talk, at)
    written = [Line("item", line_said(each.entry.event)) for each in sheet_of(at.case)]
    lines += [Line("say", "On the sheet:"), *written] if written else []
    if at.ended == "mended-proof-open" and at.repair:
        proof = talk.subject.knowledge.repairs[at.repair].proof
        lines.append(Line("caution", f"Still to be proved: {proof}"))
    return tuple(lines)


def _stopped(talk: Talk, at: Progress) -> list[Line]:
    """Return the procedures that were stopped or left, with the step and the reason."""
    told = [Line("item", said(talk.subject, entry.event)) for entry in ended_early(at.case)]
    return [Line("say", "Procedures that ended early:"), *told] if told else []


def _installation(talk: Talk, evidence: Evidence) -> list[Line]:
    known = [answer_said(talk.subject, k, v) for k, v in evidence.layout.items()]
    known += [title_of(talk.subject, c) for c, held in evidence.circumstances.items() if held]
    return [Line("note", f"{'; '.join(known)}.")] if known else []


def _found(talk: Talk, round_: Round, layout: Mapping[str, str]) -> list[str]:
    found = [
        f"{title_of(talk.subject, a.finding)}: {answer_said(talk.subject, a.finding, a.answer)}"
        for a in round_.answers
        if wrong(talk.finding(a.finding), a.answer)
    ]
    found += [
        f"{title_of(talk.subject, taken.reading)}: {numbers_said(talk.subject, taken, layout)}"
        for taken in round_.taken
    ]
    sound = len(round_.answers) + len(round_.taken) - len(found)
    return [*found, f"{sound} more asked, nothing wrong there"] if sound else found


def _wrong_after(talk: Talk, evidence: Evidence, number: int) -> bool:
    """Whether something was told as wrong in the round after a repair."""
    following = evidence.rounds[number + 1 : number + 2]
    return any(wrong(talk.finding(a.finding), a.answer) for r in following for a in r.answers)


def _likeliest(talk: Talk, evidence: Evidence, number: int, repair: str) -> list[Line]:
    told = [
        f"{cause.title} ({cause.probability:.0%} before)"
        for cause in mended_by(talk, evidence, number, repair)
    ]
    return [Line("note", f"Mends above all: {'; '.join(told)}.")] if told else []
