"""Causes out of reach: no answer raises them, or none that a caller can give."""

from collections.abc import Iterable, Iterator
from typing import Literal

import msgspec
import numpy as np

from faultnet.authoring.problem import Problem, warning
from faultnet.model.cause import Cause
from faultnet.model.knowledge import Knowledge
from faultnet.model.layout import Circumstance, Layout
from faultnet.network.build import UNLISTED
from faultnet.review.facts.told import Array, Told

RAISED = 1.5
"""An answer raises a cause that makes it this many times likelier; judgement."""


class _Reach(msgspec.Struct, frozen=True):
    """A kind of answers, with what to say where none of them raises a cause."""

    code: Literal["cause-nothing-raises", "cause-no-caller-raises", "cause-no-complaint-raises"]
    whose: str
    mend: str


_ANY = _Reach(
    "cause-nothing-raises",
    "No answer to anything",
    "Name findings under its `shows`, or under `looks-for` of a check.",
)
_CALLER = _Reach(
    "cause-no-caller-raises",
    "Nothing that a caller can answer",
    "Give a finding that it shows an `ask-caller`, or let it show one that a caller can tell.",
)
_COMPLAINT = _Reach(
    "cause-no-complaint-raises",
    "No complaint of a caller",
    "Let it show a finding with `urgency`, or give one that it shows an `urgency`.",
)


class Raised(msgspec.Struct, frozen=True):
    """The most that an answer raises a cause, as a factor, and what the answer is about."""

    factor: float = 1.0
    about: str = ""


def nowhere(knowledge: Knowledge, all_told: Iterable[Told]) -> Iterator[Problem]:
    """Yield the causes that no system can have though one names their part."""
    here = {cause for told in all_told for cause in told.subject.causes}
    parts = {part for system in knowledge.systems.values() for part in system.parts}
    for cause in knowledge.causes.values():
        if cause.id not in here and cause.part in parts:
            named = ", ".join(cause.only_when)
            yield warning(
                "cause-nowhere",
                cause.id,
                cause.origin,
                "It can never be there: no system with its part can have the layout of its "
                f"`only-when` ({named}).",
                "Change `only-when`, or the `layout` of a system, or take the cause out.",
            )


def unraised(all_told: Iterable[Told]) -> Iterator[Problem]:
    """Yield the causes that no answer raises: of any kind, of a caller, of a complaint.

    Of each cause the worst is told, with the systems where it is so. What is looked for even
    where it explains nothing (``audit``) need not come by phone; where nothing is asked of
    callers, or nothing is a complaint, none of that is told.
    """
    systems: dict[tuple[str, _Reach], list[tuple[str, Raised]]] = {}
    knowledge: Knowledge | None = None
    for told in all_told:
        knowledge = told.subject.knowledge
        for cause, reach, raised in _unreached(told):
            systems.setdefault((cause, reach), []).append((told.subject.system.id, raised))
    for (name, reach), where in systems.items():
        assert knowledge is not None
        yield _problem(knowledge.causes[name], reach, where)


def _problem(cause: Cause, reach: _Reach, where: list[tuple[str, Raised]]) -> Problem:
    most = max((raised for _, raised in where), key=lambda raised: raised.factor)
    best = f"at most {most.factor:.2f} times, by `{most.about}`" if most.about else "not at all"
    message = f"{reach.whose} raises it in {', '.join(name for name, _ in where)}: {best}."
    return warning(reach.code, cause.id, cause.origin, message, reach.mend)


def _unreached(told: Told) -> Iterator[tuple[str, _Reach, Raised]]:
    known = told.subject.knowledge.findings.values()
    asks, complains = any(f.ask_caller for f in known), any(f.urgency for f in known)
    any_, caller, complaint = raised_by_any(told), raised_by_caller(told), raised_by_complaint(told)
    for cause, index in told.subject.causes.items():
        if cause == UNLISTED:
            continue
        calls = not told.subject.knowledge.causes[cause].audit
        if any_[index].factor < RAISED:
            yield cause, _ANY, any_[index]
        elif asks and calls and caller[index].factor < RAISED:
            yield cause, _CALLER, caller[index]
        elif complains and calls and complaint[index].factor < RAISED:
            yield cause, _COMPLAINT, complaint[index]


def raised_by_any(told: Told) -> list[Raised]:
    """Return the most that anything known for certain raises each cause."""
    subject = told.subject
    return _most(told, _words(told, subject.findings, "technician"), subject.roots)


def raised_by_caller(told: Told) -> list[Raised]:
    """Return the most that an answer of a caller raises each cause."""
    subject, known = told.subject, told.subject.knowledge
    asked = [f for f in subject.findings if known.findings[f].ask_caller]
    entries: dict[str, Layout | Circumstance] = {**known.layouts, **known.circumstances}
    roots = [r for r in subject.roots if entries[r].ask_caller]
    return _most(told, _words(told, asked, "caller"), roots)


def raised_by_complaint(told: Told) -> list[Raised]:
    """Return the most that what people call for raises each cause: complaints and dangers."""
    known = told.subject.knowledge.findings
    called_for = (known[f] for f in told.subject.findings)
    complaints = [f.id for f in called_for if f.urgency or (f.dangers and f.ask_caller)]
    return _most(told, _words(told, complaints, "caller"), ())


def _words(told: Told, findings: Iterable[str], speaker: str) -> Iterator[tuple[str, Array]]:
    """Yield P(cause | said) for each answer that is not normal: a "no" points at nothing."""
    known = told.subject.knowledge.findings
    for finding in findings:
        for answer, chances in told.after_word(finding, speaker).items():
            if answer != known[finding].normal:
                yield finding, chances


def _most(told: Told, words: Iterable[tuple[str, Array]], roots: Iterable[str]) -> list[Raised]:
    """The most that any of some answers raises each cause, in network order."""
    rows = [*words, *((r, row) for r in roots for row in told.after_root(r).values())]
    if not rows:
        return [Raised() for _ in told.causes]
    factors = np.array([row for _, row in rows]) / np.maximum(told.causes, 1e-300)
    best = factors.argmax(axis=0).tolist()
    return [Raised(float(factors[k, cause]), rows[k][0]) for cause, k in enumerate(best)]
