"""How things are said on the two copies."""

from typing import Literal, TypeAlias

from faultnet.model.evidence import Answer, Taken
from faultnet.report.course import Course
from faultnet.visit.figures import numbers_said
from faultnet.visit.told import answer_said, title_of

Audience: TypeAlias = Literal["customer", "office"]

NOT_TAKEN = "Not taken."


def said(course: Course, answer: Answer, audience: Audience) -> str:
    """Return an answer in words; the customer's copy asks as a caller is asked."""
    finding = course.finding(answer.finding)
    told = answer_said(course.subject, finding.id, answer.answer)
    if audience == "customer" and finding.ask_caller:
        return f"{finding.ask_caller} {told[:1].upper()}{told[1:]}."
    return finding.title if told == "yes" else f"{finding.title}: {told}"


def numbers(course: Course, taken: Taken) -> str:
    """Return the numbers of a reading with their units, and what is worked out of them."""
    return numbers_said(course.subject, taken, course.case.evidence.layout)


def titles(course: Course, names: tuple[str, ...]) -> str:
    """Return titles in a row."""
    return "; ".join(title_of(course.subject, name) for name in names)


def state(course: Course, number: int) -> str:
    """Return how the state of the system in a round is called."""
    if number == 0:
        return "As found"
    repairs = course.case.evidence.rounds[number - 1].repairs
    return f"After: {titles(course, repairs)}" if repairs else "After a change to the system"


def name_of(author: str) -> str:
    """Return the name of an author without that of the machine."""
    return author.rpartition("@")[0] or author
