"""How it was found on arrival, what was agreed, and what was put off: beside the findings."""

from typing import TypeVar

from faultnet.cases import events as e
from faultnet.report.course import Course
from faultnet.visit.said import found_said, said, tried_said
from faultnet.visit.told import title_of
from faultnet.writing.document import Bullets, Section

E = TypeVar("E", bound=e.Event)


def arrival(course: Course) -> Section | None:
    """Return the state as found, before anything was touched, and what had been tried."""
    found = [found_said(course.subject, each) for each in _events(course, e.AsFound)]
    found += [
        f"Tried before: {tried_said(course.subject, each)}" for each in _events(course, e.Tried)
    ]
    return _section("As found on arrival", found)


def agreed(course: Course) -> Section | None:
    """Return what the customer agreed to, with the money it may come to."""
    told = [
        f"{title_of(course.subject, each.step)}: about {each.amount:.0f} {each.currency}"
        + (f", agreed by {each.name}" if each.name else "")
        for each in _events(course, e.Agreed)
    ]
    return _section("Agreed before the work", told)


def put_off(course: Course) -> Section | None:
    """Return steps that were put off for a reason."""
    skipped = [each for each in _events(course, e.StepSkipped) if each.reason or each.text]
    return _section("Steps put off", [said(course.subject, each) for each in skipped])


def suspects(course: Course) -> Section | None:
    """Return what was suspected at the pump before any ranking was shown."""
    told = [said(course.subject, each) for each in _events(course, e.Suspected)]
    return _section("Suspected before the ranking was shown", told)


def _section(title: str, lines: list[str]) -> Section | None:
    return Section(title, (Bullets(tuple(lines)),)) if lines else None


def _events(course: Course, kind: type[E]) -> list[E]:
    events = [each.entry.event for each in course.case.entries]
    return [each for each in events if isinstance(each, kind)]
