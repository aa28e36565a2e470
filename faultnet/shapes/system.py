"""The systems, and what can be said of one."""

from collections.abc import Container, Iterable
from typing import TYPE_CHECKING

import msgspec

if TYPE_CHECKING:
    from faultnet.model.knowledge import Knowledge
    from faultnet.model.system import System


class SystemShape(msgspec.Struct, frozen=True):
    """A kind of installation; ``faults`` is ``several`` or ``one``: how many there can be."""

    id: str
    title: str
    about: str
    faults: str


class LayoutShape(msgspec.Struct, frozen=True):
    """A fact of the installation, and what it can be here."""

    id: str
    title: str
    values: tuple[str, ...]


class CircumstanceShape(msgspec.Struct, frozen=True):
    """Something that may have happened just before."""

    id: str
    title: str


class FindingShape(msgspec.Struct, frozen=True):
    """Something that can be observed, and what can be answered; yes and no always can.

    ``found_cause`` names the cause that a look at it shows, where it is such a look.
    """

    id: str
    title: str
    answers: tuple[str, ...]
    found_cause: str | None


class ReadingShape(msgspec.Struct, frozen=True):
    """A number from an instrument: its parts with their units, and the findings it tells about."""

    id: str
    title: str
    takes: dict[str, str]
    required: tuple[str, ...]
    findings: tuple[str, ...]
    note: str


class SayableShape(SystemShape, frozen=True):
    """A system with all that can be said of it."""

    layout: tuple[LayoutShape, ...]
    circumstances: tuple[CircumstanceShape, ...]
    findings: tuple[FindingShape, ...]
    readings: tuple[ReadingShape, ...]


def system_shape(system: "System") -> SystemShape:
    """Return a system as it is listed."""
    return SystemShape(system.id, system.title, system.about, system.faults)


def sayable_shape(knowledge: "Knowledge", system: "System", here: Iterable[str]) -> SayableShape:
    """Return what can be said of a system that has these findings."""
    findings = sorted(here)
    return SayableShape(
        id=system.id,
        title=system.title,
        about=system.about,
        faults=system.faults,
        layout=tuple(
            LayoutShape(each, knowledge.layouts[each].title, tuple(values))
            for each, values in system.layout.items()
        ),
        circumstances=tuple(
            CircumstanceShape(each, knowledge.circumstances[each].title)
            for each in system.circumstances
        ),
        findings=tuple(_finding(knowledge, each) for each in findings),
        readings=_readings(knowledge, set(findings)),
    )


def _finding(knowledge: "Knowledge", name: str) -> FindingShape:
    entry = knowledge.findings[name]
    return FindingShape(name, entry.title, entry.all_answers, entry.found_cause or None)


def _readings(knowledge: "Knowledge", here: Container[str]) -> tuple[ReadingShape, ...]:
    return tuple(
        ReadingShape(
            id=each.id,
            title=each.title,
            takes=each.takes,
            required=tuple(each.required),
            findings=tuple(each.findings),
            note=each.note,
        )
        for each in knowledge.readings.values()
        if all(name in here for name in each.findings)
    )
