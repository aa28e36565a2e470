"""Titles and search words that stand twice, so that nobody can tell which is meant."""

import re
from collections.abc import Iterable, Iterator
from typing import Protocol

from faultnet.authoring.problem import Problem, warning
from faultnet.model.finding import Finding
from faultnet.model.knowledge import Knowledge
from faultnet.model.layout import Circumstance
from faultnet.model.origin import Origin

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
    """Yield titles of one kind in the same words, and search words that two findings share."""
    findings = [each for each in knowledge.findings.values() if not each.found_cause]
    kinds: tuple[Iterable[_Titled], ...] = (
        knowledge.causes.values(), findings, knowledge.checks.values(), knowledge.repairs.values(),
        knowledge.set_ups.values(), knowledge.readings.values(), knowledge.procedures.values(),
        knowledge.circumstances.values(), knowledge.stock.values(),
    )  # fmt: skip
    for kind in kinds:
        yield from _same_titles(kind)
    yield from _shared_words((*findings, *knowledge.circumstances.values()))


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
