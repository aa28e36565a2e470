"""Entries as they would be written today, where the knowledge has other names by now."""

from collections.abc import Callable, Iterable
from typing import Any

from msgspec.structs import replace

from faultnet.cases import events as e
from faultnet.cases.entry import Entry
from faultnet.model.knowledge import Knowledge
from faultnet.model.renamed import NamesNow, names_now

_IDS = ("about", "finding", "reading", "step", "instead_of", "repair", "cause")
_LISTS = ("findings", "set_ups", "redraws")
"""Fields that hold ids of entries."""


def renamed_entries(knowledge: Knowledge, entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """Return entries with the ids and answers of today."""
    if not knowledge.renamed:
        return tuple(entries)
    names = names_now(knowledge.renamed)
    return tuple(replace(each, event=_renamed(names, each.event)) for each in entries)


def _renamed(names: NamesNow, event: e.AnyEvent) -> e.AnyEvent:
    changes: dict[str, Any] = {}
    for field in event.__struct_fields__:
        now = _READ.get(field)
        if now is not None and not (field == "about" and isinstance(event, e.Setting)):
            changes[field] = now(names, getattr(event, field))
    if isinstance(event, e.Told):
        changes["answer"] = names.answer(changes["about"], event.answer)
    if isinstance(event, e.Opened):
        changes["system"] = names.id("system", event.system)
    if isinstance(event, e.Fitted):
        changes["part"] = names.id("item", event.part)
    return replace(event, **changes) if changes else event


def _layout(names: NamesNow, layout: dict[str, str]) -> dict[str, str]:
    now = {names.id("layout", about): value for about, value in layout.items()}
    return {about: names.answer(about, value) for about, value in now.items()}


def _causes(names: NamesNow, causes: object) -> object:
    """The likeliest causes that were shown, with their chances."""
    if not isinstance(causes, dict):
        return causes
    return {names.id("cause", cause): chance for cause, chance in causes.items()}


def _list(names: NamesNow, ids: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(map(names.any, ids))


_READ: dict[str, Callable[[NamesNow, Any], object]] = {
    **dict.fromkeys(_IDS, NamesNow.any),
    **dict.fromkeys(_LISTS, _list),
    "layout": _layout,
    "causes": _causes,
}
