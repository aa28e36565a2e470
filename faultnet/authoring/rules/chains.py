"""Chains that bite their own tail: causes, findings and set-ups."""

from collections.abc import Iterable, Iterator
from graphlib import CycleError, TopologicalSorter

from faultnet.authoring.problem import Problem, problem
from faultnet.model.knowledge import Knowledge
from faultnet.model.origin import Origin

Arcs = dict[str, dict[str, Origin]]


def chains(knowledge: Knowledge) -> Iterator[Problem]:
    """Yield a problem for each chain that leads back to where it starts."""
    yield from _cycles(_causes(knowledge), "causes lead to each other", "advice moves no number")
    yield from _cycles(
        _findings(knowledge),
        "findings follow from, hide or need each other",
        "keep the direction in which water, pressure or current goes",
    )
    yield from _cycles(_set_ups(knowledge), "set-ups require each other", "one of them comes first")
    for arcs in _renamed(knowledge):
        yield from _cycles(arcs, "names lead to each other", "one of them holds today")


def _causes(knowledge: Knowledge) -> Arcs:
    return {
        cause.id: {arc.cause: arc.origin for arc in cause.leads_to if arc.strength is not None}
        for cause in knowledge.causes.values()
    }


def _findings(knowledge: Knowledge) -> Arcs:
    return {
        finding.id: {
            **dict.fromkeys((*finding.hidden_by, *finding.needs), finding.origin),
            **{rule.finding: rule.origin for rule in finding.follows_from},
        }
        for finding in knowledge.findings.values()
    }


def _set_ups(knowledge: Knowledge) -> Arcs:
    return {
        set_up.id: dict.fromkeys(set_up.requires, set_up.origin)
        for set_up in knowledge.set_ups.values()
    }


def _renamed(knowledge: Knowledge) -> Iterable[Arcs]:
    found: dict[tuple[str, str], Arcs] = {}
    for each in knowledge.renamed:
        found.setdefault((each.kind, each.of), {})[each.old] = {each.new: each.origin}
    return found.values()


def _cycles(arcs: Arcs, what: str, mend: str) -> Iterator[Problem]:
    arcs = {start: dict(ends) for start, ends in arcs.items()}
    while ring := _cycle(arcs):
        start, end = ring[0], ring[1]
        place = arcs[start].pop(end)
        message = f"These {what} in a ring: {' -> '.join(ring)}."
        yield problem("cyclic-chain", place, message, f"Break the ring; {mend}.", entity=start)


def _cycle(arcs: Arcs) -> list[str]:
    """Return a ring of names along the arcs, first and last equal, or nothing."""
    try:
        TopologicalSorter({start: ends.keys() for start, ends in arcs.items()}).prepare()
    except CycleError as error:
        ring: list[str] = error.args[1]
        return ring[::-1]
    return []
