"""From the entries of a case in the store to a closed case."""

from collections.abc import Iterable, Iterator

from faultnet.advice.standing import SPECIALIST
from faultnet.advice.subject import Subject
from faultnet.cases import events as e
from faultnet.cases.case import Case
from faultnet.cases.written import sheet_of
from faultnet.learning.closed import ClosedCase, Confirmation, StepKind, StepTaken
from faultnet.learning.reading.taken import Timing
from faultnet.learning.reading.trips import trips_of
from faultnet.model.evidence import Evidence
from faultnet.network.build import UNLISTED


def closed_case(subject: Subject, case: Case, followed_by: str = "") -> ClosedCase:
    """Return a case that has ended, as it is learnt from; ``followed_by`` is its call-back.

    What was wrong is what was seen at the pump: said so after a repair, or found by looking
    in a round whose repair mends it. What the files do not hold is called by the text of its
    event, as far as that was left in.
    """
    ends = [each.entry for each in case.entries if isinstance(each.entry.event, e.Ended)]
    fitted = (each.entry.event for each in sheet_of(case))
    parts = (each.part for each in fitted if isinstance(each, e.Fitted) and each.part)
    return ClosedCase(
        id=case.id,
        system=case.system,
        opened=case.begun,
        closed=ends[-1].at if ends else case.touched,
        ending=case.ended,
        evidence=case.evidence,
        confirmed=tuple(dict.fromkeys(_confirmed(subject, case))),
        steps=tuple(_steps(subject, case)),
        trips=trips_of(case),
        parts=tuple(dict.fromkeys(parts)),
        unknown=_unknown(case),
        knowledge=case.knowledge,
        followed_by=followed_by,
    )


def _confirmed(subject: Subject, case: Case) -> Iterator[Confirmation]:
    said = {
        each.entry.event.cause for each in case.entries if isinstance(each.entry.event, e.Confirmed)
    }
    for number, round_ in enumerate(case.evidence.rounds):
        mended = _mended(subject, round_.repairs)
        for answer in round_.answers:
            cause = subject.knowledge.findings[answer.finding].found_cause
            seen = answer.answer == "yes" and answer.speaker == "technician"
            if seen and (cause in mended or cause in said):
                yield Confirmation(cause, number)
    for each in case.entries:
        match each.entry.event:
            case e.Confirmed("", number, unlisted=True, text=text):
                yield Confirmation(UNLISTED, number, text)


def _mended(subject: Subject, repairs: Iterable[str]) -> set[str]:
    causes = subject.network.causes
    return {causes[k].id for r in repairs for k in subject.mended_by.get(r, ())}


def _steps(subject: Subject, case: Case) -> Iterator[StepTaken]:
    known = subject.knowledge
    kinds: dict[str, StepKind] = dict.fromkeys(known.checks, "check")
    kinds |= dict.fromkeys(known.repairs, "repair")
    timing = Timing()
    for each in case.entries:
        broken_off = timing.broken_off(each.entry)
        minutes = timing.after(each.entry)
        match each.entry.event:
            case e.StepSkipped(step) if broken_off and step in kinds:
                yield StepTaken(step, kinds[step], each.round, minutes, broken_off=True)
            case e.StepDone(step):
                yield StepTaken(step, "check", each.round, minutes)
            case e.RepairDone(repair):
                yield StepTaken(repair, "repair", each.round, minutes)
    if case.ended == "referred":
        yield StepTaken(SPECIALIST, "specialist", len(case.evidence.rounds) - 1)


def _unknown(case: Case) -> tuple[str, ...]:
    """Return what was asked in vain and never answered."""
    asked = (each.entry.event for each in case.entries)
    about = dict.fromkeys(each.about for each in asked if isinstance(each, e.NotKnown))
    answered = _answered(case.evidence)
    return tuple(each for each in about if each not in answered)


def _answered(evidence: Evidence) -> set[str]:
    said = {answer.finding for round_ in evidence.rounds for answer in round_.answers}
    return said | evidence.layout.keys() | evidence.circumstances.keys()
