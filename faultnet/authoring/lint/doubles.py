"""Titles, search words and things to load that stand twice, so that nobody can tell them apart."""

import re
from collections.abc import Iterable, Iterator
from typing import Protocol

from faultnet.authoring.problem import Problem, warning
from faultnet.model.check import Check
from faultnet.model.finding import Finding
from faultnet.model.knowledge import Knowledge
from faultnet.model.layout import Circumstance
from faultnet.model.origin import Origin
from faultnet.model.repair import Repair

_WORD = re.compile(r"\w+")
_SMALL = frozenset({"a", "an", "the", "of", "in", "on", "at", "to", "and", "or"})


class _Titled(Protocol):
    """Any entry with a title that people choose it by."""

    @property
    def id(self) -> str: ...
    @property
    def title(self) -> str: ...
    @property
    def origin(self) -> Origin: ...


def doubles(knowledge: Knowledge) -> Iterator[Problem]:
    """Yield titles in the same words, search words that are shared, things in both numbers."""
    findings = [each for each in knowledge.findings.values() if not each.found_cause]
    kinds: tuple[Iterable[_Titled], ...] = (
        knowledge.causes.values(), findings, knowledge.checks.values(), knowledge.repairs.values(),
        knowledge.set_ups.values(), knowledge.readings.values(), knowledge.procedures.values(),
        knowledge.circumstances.values(), knowledge.stock.values(),
    )  # fmt: skip
    for kind in kinds:
        yield from _same_titles(kind)
    yield from _shared_words((*findings, *knowledge.circumstances.values()))
    yield from _one_and_many(knowledge)


def _same_titles(entries: Iterable[_Titled]) -> Iterator[Problem]:
    seen: dict[frozenset[str], str] = {}
    for each in entries:
        key = frozenset(_WORD.findall(each.title.lower())) - _SMALL
        if key in seen:
            message = f"The title has the same words as that of `{seen[key]}`."
            hint = "Say in the title what is different."
            yield warning("same-title", each.id, each.origin, message, hint)
        elif key:
            seen[key] = each.id


def _shared_words(entries: Iterable[Finding | Circumstance]) -> Iterator[Problem]:
    seen: dict[str, str] = {}
    for each in entries:
        for word in each.words:
            other = seen.setdefault(word.lower(), each.id)
            if other != each.id:
                message = f"`{other}` is searched for by the word `{word}` too."
                hint = "Keep it at the one that people mean, or write more of what they say."
                yield warning("shared-synonym", each.id, each.origin, message, hint)


def _one_and_many(knowledge: Knowledge) -> Iterator[Problem]:
    """Yield the parts and tools that stand here as one and elsewhere as many of the same."""
    jobs: tuple[Check | Repair, ...] = (*knowledge.checks.values(), *knowledge.repairs.values())
    taken: dict[str, Check | Repair] = {}
    for job in jobs:
        for name in (*job.work.tools, *(job.parts if isinstance(job, Repair) else ())):
            taken.setdefault(name, job)
    for name, job in taken.items():
        for many in (f"{name}s", f"{name}es"):
            if many in taken:
                message = f"`{many}` is `{name}` at `{job.id}`: a load list takes them for two."
                hint = f"Write `{name}` in both places, and in stock.yaml."
                at = taken[many]
                yield warning("one-and-many", at.id, at.origin, message, hint)
