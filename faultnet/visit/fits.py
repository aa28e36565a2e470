"""Whether what an event names is still there: knowledge changes between two days."""

from collections.abc import Container

from faultnet.advice.observe import UnfitReadingError, read
from faultnet.advice.subject import Subject, UnknownNameError
from faultnet.model.evidence import Taken
from faultnet.visit import events as e


def fits(subject: Subject, event: e.Event) -> bool:
    """Whether the knowledge still holds what an event names."""
    knowledge = subject.knowledge
    match event:
        case e.Told(about, answer):
            return answer in answers_about(subject, about)
        case e.NotKnown(about) | e.Picked(about):
            return bool(answers_about(subject, about))
        case e.Measured(reading, parts):
            return _readable(subject, Taken(reading, parts))
    places: dict[type[e.Event], tuple[Container[str], str]] = {
        e.MadeSafe: (subject.findings, "finding"),
        e.RepairDone: (knowledge.repairs, "repair"),
        e.StepDone: (knowledge.checks, "step"),
        e.StepBegun: ({*knowledge.checks, *knowledge.repairs}, "step"),
    }
    known, field = places.get(type(event), ((), ""))
    return not field or getattr(event, field) in known


def answers_about(subject: Subject, about: str) -> tuple[str, ...]:
    """Return what can be answered about a finding, circumstance or layout; else nothing."""
    if about in subject.findings:
        return (*subject.knowledge.findings[about].all_answers, "yes", "no")
    if about in subject.roots:
        return subject.network.roots[subject.roots[about]].states
    return ()


def _readable(subject: Subject, taken: Taken) -> bool:
    try:
        return read(subject, taken)[0] in subject.findings
    except (UnknownNameError, UnfitReadingError):
        return False
