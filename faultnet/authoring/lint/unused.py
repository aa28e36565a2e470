"""Entries that nothing names, so that nobody ever meets them."""

from collections.abc import Collection, Iterator, Mapping
from typing import Protocol

from faultnet.authoring.problem import Problem, warning
from faultnet.model.knowledge import Knowledge
from faultnet.model.named_by import NamedBy, numbers_of
from faultnet.model.origin import Origin


class _Placed(Protocol):
    """Any authored entry: it knows where it stands."""

    @property
    def origin(self) -> Origin: ...


def unused(knowledge: Knowledge) -> Iterator[Problem]:
    """Yield parts, procedures, repairs, set-ups, circumstances and sources that nothing names."""
    by = NamedBy(knowledge)
    kinds: tuple[tuple[Mapping[str, _Placed], Collection[str], str, str], ...] = (
        (
            knowledge.parts,
            by.built_from.keys(),
            "No system has this part, so none of its causes is ever weighed.",
            "Name it under `parts` of a system in systems/.",
        ),
        (
            knowledge.procedures,
            by.done_by.keys() | _called_for(knowledge),
            "No check, repair or set-up is done by this procedure, and no answer calls for it.",
            "Name it under `procedures` of a check or repair, or give it `when` below by-phone.",
        ),
        (
            knowledge.repairs,
            by.mends.keys() | {each.or_replace for each in knowledge.repairs.values()},
            "No cause is mended by this repair.",
            "Name it as `repair` of a cause, or take it away.",
        ),
        (
            knowledge.set_ups,
            by.wanted_by.keys() | _made(knowledge),
            "No check, repair or set-up needs this set-up.",
            "Name it under `set-ups` of a check or repair, or take it away.",
        ),
        (
            knowledge.circumstances,
            by.tipped_by.keys(),
            "No cause is likelier when this has happened.",
            "Name it under `likelier-when` of a cause, or take it away.",
        ),
        (
            knowledge.sources,
            by.seen_in.keys() | _cited(knowledge),
            "No number comes from this source, and no cause was seen in it.",
            "Name it in a `from` or under `seen-in`, or take it away.",
        ),
    )
    for entries, named, message, hint in kinds:
        for name, entry in entries.items():
            if name not in named:
                yield warning("named-nowhere", name, entry.origin, message, hint)


def _called_for(knowledge: Knowledge) -> set[str]:
    procedures = knowledge.procedures.values()
    return {each.id for each in procedures if each.by_phone and each.by_phone.when}


def _made(knowledge: Knowledge) -> set[str]:
    steps = (step for each in knowledge.procedures.values() for step in each.steps)
    return {name for step in steps for name in step.set_ups}


def _cited(knowledge: Knowledge) -> set[str]:
    return {name for number in numbers_of(knowledge) for name in number.provenance}
