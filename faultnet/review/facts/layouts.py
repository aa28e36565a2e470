"""Layouts that change nothing; layouts and circumstances that nobody is sent to look at."""

from collections.abc import Iterator, Sequence

import numpy as np

from faultnet.authoring.problem import Problem, warning
from faultnet.model.knowledge import Knowledge
from faultnet.model.layout import Circumstance, Layout
from faultnet.model.named_by import NamedBy
from faultnet.network.network import Network
from faultnet.review.facts.told import Told


def layouts(named: NamedBy, all_told: Sequence[Told]) -> Iterator[Problem]:
    """Yield layouts on which nothing hangs, and what is never asked though it counts.

    Circumstances that no cause names are told by lint.
    """
    knowledge = named.knowledge
    matters = {r for told in all_told for r in _matters(told.subject.network)}
    elsewhere = set(_named_elsewhere(knowledge))
    asked = {s for look in knowledge.as_found.values() for a in look.answers for s in a.says}
    asked |= named.revealed_by.keys()
    entries: list[tuple[str, Layout | Circumstance]] = [
        *(("layout", each) for each in knowledge.layouts.values()),
        *(("circumstance", each) for each in knowledge.circumstances.values()),
    ]
    for kind, entry in entries:
        if kind == "layout" and entry.id not in matters | elsewhere:
            yield warning(
                "layout-changes-nothing",
                entry.id,
                entry.origin,
                "No cause, finding, check or reading hangs on this layout in any system.",
                "Name it under `only-when`, `when` or `likelier-when`, or take it away.",
            )
        elif entry.id in matters - asked:
            yield warning(
                "layout-never-asked",
                entry.id,
                entry.origin,
                f"No check reveals this {kind}, though it counts: {_much(entry.id, all_told)}.",
                "Name it under `reveals` of a check.",
            )


def _matters(network: Network) -> Iterator[str]:
    """The ids of the roots that anything in a network hangs on."""
    found: set[int] = set()
    for cause in network.causes:
        found.update(root for root, factors in cause.factors if len(set(factors)) > 1)
        found.update(root for root, _ in cause.when)
    for finding in network.findings:
        conditions = [finding.when, *(link.when for link in (*finding.links, *finding.follows))]
        found.update(root for condition in conditions for root, _ in condition)
    return (network.roots[k].id for k in found)


def _named_elsewhere(knowledge: Knowledge) -> Iterator[str]:
    """What else the layout is for: which checks can be done, what a reading stands on."""
    for check in knowledge.checks.values():
        yield from check.only_when
    for look in knowledge.as_found.values():
        yield from look.only_when
    for reading in knowledge.readings.values():
        yield from (unknown.layout for unknown in reading.unknown.values() if unknown.layout)


def _much(root: str, all_told: Sequence[Told]) -> str:
    """The most that knowing it does to a cause, on a call with nothing told."""
    most = (0.0, "", "")
    for told in all_told:
        for state, chances in told.after_root(root).items() if root in told.subject.roots else ():
            moved = np.abs(chances - told.causes)
            k = int(moved.argmax())
            cause = told.subject.network.causes[k].id
            text = f"`{cause}` goes from {_hundred(told.causes[k])} to {_hundred(chances[k])}"
            most = max(most, (float(moved[k]), text, state))
    _, text, state = most
    return f"with `{state}`, {text} of 100 calls" if text else "causes and findings hang on it"


def _hundred(chance: float) -> str:
    return f"{100.0 * chance:.2g}"
