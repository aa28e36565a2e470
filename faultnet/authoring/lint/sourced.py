"""What entries say of their sources, and what the sources say."""

import re
from collections.abc import Iterator

from faultnet.authoring.problem import Problem, warning
from faultnet.model.knowledge import Knowledge
from faultnet.model.named_by import numbers_of
from faultnet.model.origin import Number

_NONE = re.compile(r"\bno\s+(?:publication|published|source)\b", re.IGNORECASE)
_SOME = re.compile(r"\b(?:published|publication|according to)\b", re.IGNORECASE)
_UNREAD = re.compile(
    r"\b(?:not\s+(?:\w+\s+)?(?:read|readable|seen|opened|looked|checked)|unread|unseen)\b",
    re.IGNORECASE,
)
_MEMORY = "memory"


def sourced(knowledge: Knowledge) -> Iterator[Problem]:
    """Yield causes whose note belies their sources, and numbers out of what nobody read."""
    for cause in knowledge.causes.values():
        named = sorted({*_cited(cause, knowledge), *cause.seen_in})
        denied = _NONE.search(cause.note)
        if denied and named:
            message = f'The note says "{denied[0]}", but the cause names `{named[0]}`.'
            hint = "Take the words or the source away, or say of which number it is true."
            yield warning("source-contradicted", cause.id, cause.origin, message, hint)
        elif not denied and not named and (said := _SOME.search(cause.note)):
            message = f'The note speaks of a source ("{said[0]}"), but the cause names none.'
            hint = "Add `seen-in: [...]`, or `from: ...` beside the number."
            yield warning("source-contradicted", cause.id, cause.origin, message, hint)
    yield from _unread(knowledge)


def _cited(entry: object, knowledge: Knowledge) -> Iterator[str]:
    """Yield the publications that an entry names; closed cases are none."""
    published = knowledge.sources.keys() - knowledge.learnt.keys()
    for number in numbers_of(entry):
        yield from (name for name in number.provenance if name in published)


def _unread(knowledge: Knowledge) -> Iterator[Problem]:
    doubtful = {
        name: said[0]
        for name, source in knowledge.sources.items()
        if (said := _UNREAD.search(source.read))
    }
    for entity, number in _numbers(knowledge) if doubtful else ():
        for name in number.provenance:
            if name in doubtful and _MEMORY not in number.provenance:
                message = f"{number.value:g} is from `{name}`, of which sources.yaml says: "
                hint = f"Write from: [memory, {name}], or say under `read` what was read."
                told = f'{message}"{doubtful[name]}".'
                yield warning("source-contradicted", entity, number.origin, told, hint)


def _numbers(knowledge: Knowledge) -> Iterator[tuple[str, Number]]:
    """Yield the numbers of entries, each with the id of the entry."""
    for kept in (
        knowledge.causes, knowledge.findings, knowledge.checks, knowledge.repairs,
        knowledge.set_ups, knowledge.readings, knowledge.procedures, knowledge.systems,
        knowledge.layouts, knowledge.circumstances, knowledge.stock, knowledge.lead_times,
        knowledge.regions,
    ):  # fmt: skip
        for entity, entry in kept.items():
            yield from ((entity, number) for number in numbers_of(entry))
