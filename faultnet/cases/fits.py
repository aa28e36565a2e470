"""Whether what an event names is still there: knowledge changes between two days."""

from collections.abc import Container, Mapping
from functools import singledispatch
from typing import Protocol

from faultnet.cases import events as e
from faultnet.model.knowledge import Knowledge
from faultnet.model.system import System
from faultnet.network.network import Network

WALKED = (
    e.ProcedureBegun,
    e.ProcedureStepDone,
    e.ProcedureBack,
    e.TimerStarted,
    e.ProcedureStopped,
    e.ProcedureLeft,
)
"""Events of a procedure."""


class Known(Protocol):
    """A system with its knowledge and its network; indices follow the network."""

    @property
    def knowledge(self) -> Knowledge:
        """What the files say."""

    @property
    def system(self) -> System:
        """The kind of installation."""

    @property
    def network(self) -> Network:
        """Its network."""

    @property
    def roots(self) -> Mapping[str, int]:
        """Root id to index."""

    @property
    def findings(self) -> Mapping[str, int]:
        """Finding id to index."""

    def readable(self, reading: str, parts: Mapping[str, float]) -> bool:
        """Whether numbers make a whole reading that says something here."""


def fits(known: Known, event: e.Event) -> bool:
    """Whether the knowledge still holds what an event names."""
    if isinstance(event, WALKED):
        return _walkable(known, event.procedure, getattr(event, "number", 0))
    return _fits(event, known)


@singledispatch
def _fits(event: e.Event, known: Known) -> bool:
    """Whether the one thing that an event names is there; most name nothing."""
    knowledge = known.knowledge
    places: dict[type[e.Event], tuple[Container[str], str]] = {
        e.MadeSafe: (known.findings, "finding"),
        e.RepairDone: (knowledge.repairs, "repair"),
        e.StepDone: (knowledge.checks, "step"),
        e.StepBegun: ({*knowledge.checks, *knowledge.repairs}, "step"),
    }
    there, field = places.get(type(event), ((), ""))
    return not field or getattr(event, field) in there


@_fits.register
def _(event: e.Told, known: Known) -> bool:
    return event.answer in answers_about(known, event.about)


@_fits.register(e.NotKnown)
@_fits.register(e.Picked)
def _(event: e.NotKnown | e.Picked, known: Known) -> bool:
    return bool(answers_about(known, event.about))


@_fits.register
def _(event: e.Measured, known: Known) -> bool:
    return _readable(known, event.reading, event.parts)


@_fits.register
def _(event: e.PartRead, known: Known) -> bool:
    return _partly_readable(known, event.reading, event.parts)


@_fits.register
def _(event: e.AsFound, known: Known) -> bool:
    look = known.knowledge.as_found.get(event.look)
    return look is not None and (not event.answer or look.shown(event.answer) is not None)


@_fits.register(e.Confirmed)
@_fits.register(e.Suspected)
def _(event: e.Confirmed | e.Suspected, known: Known) -> bool:
    return not event.cause or bool(found_finding(known, event.cause))


def _walkable(known: Known, procedure: str, step: int) -> bool:
    entry = known.knowledge.procedures.get(procedure)
    return entry is not None and 0 <= step < len(entry.steps)


def answers_about(known: Known, about: str) -> tuple[str, ...]:
    """Return what can be answered about a finding, circumstance or layout; else nothing."""
    if about in known.findings:
        return (*known.knowledge.findings[about].all_answers, "yes", "no")
    if about in known.roots:
        return known.network.roots[known.roots[about]].states
    return ()


def found_finding(known: Known, cause: str) -> str:
    """Return the finding that a cause was seen, or nothing where the system has none."""
    entries = known.knowledge.findings
    found = (f for f in known.findings if cause and entries[f].found_cause == cause)
    return next(found, "")


def amounts_to(known: Known, found: e.AsFound) -> tuple[e.Told, ...]:
    """Return what the state as found says about findings and the layout."""
    look = known.knowledge.as_found[found.look]
    shown = look.shown(found.answer)
    says = shown.says if shown else {}
    told = (e.Told(about, answer) for about, answer in says.items())
    return tuple(each for each in told if fits(known, each))


def alike(known: Known, about: str, first: str, second: str) -> bool:
    """Whether two answers can both be true: yes goes with every abnormal one."""
    return bool(_meant(known, about, first) & _meant(known, about, second))


def _meant(known: Known, about: str, answer: str) -> frozenset[str]:
    if about not in known.findings:
        return frozenset((answer,))
    finding = known.knowledge.findings[about]
    if answer in finding.all_answers:
        return frozenset((answer,))
    return frozenset(finding.answers[1:] if answer == "yes" else finding.answers[:1])


def _readable(known: Known, reading: str, parts: Mapping[str, float]) -> bool:
    """Whether a reading is one of the system's, complete, and of numbers that can be."""
    return _partly_readable(known, reading, parts) and known.readable(reading, parts)


def _partly_readable(known: Known, reading: str, parts: Mapping[str, float]) -> bool:
    entry = known.knowledge.readings.get(reading)
    if entry is None or not known.findings.keys() >= set(entry.findings):
        return False
    return not entry.refusal(parts)
