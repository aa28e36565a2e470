"""Links that say nothing of their own: hidden nearly always, or told by a rule already."""

from collections.abc import Iterator
from math import fsum

import msgspec
import numpy as np

from faultnet.advice.subject import Subject
from faultnet.authoring.problem import Problem, warning
from faultnet.model.cause import Shows
from faultnet.network.build import UNLISTED
from faultnet.network.network import Condition, Finding, Link
from faultnet.review.facts.alone import Alone, Column, States

HIDDEN = 0.05
"""A link that is seen in this share of the times it is there, or less, is told; judgement."""
ANYWAY = 0.9
"""A link to what rules bring about as often as this without it is told; judgement."""


class _Seen(msgspec.Struct, frozen=True):
    """A link where its cause is alone: the most it is seen, the least it is there anyway."""

    cause: int
    finding: int
    strength: float
    most: float
    anyway: float


def idle(subject: Subject, alone: Alone, done: set[tuple[str, str]]) -> Iterator[Problem]:
    """Yield the links that are hidden nearly always, or add nothing to a rule.

    Links in ``done`` (cause and finding) were told of another system; new ones are added.
    """
    for seen in _links(subject, alone):
        cause = subject.network.causes[seen.cause].id
        finding = subject.network.findings[seen.finding].id
        if cause == UNLISTED or (cause, finding) in done:
            continue
        origin = _authored(subject, cause, finding).origin
        if seen.most <= HIDDEN * seen.strength:
            done.add((cause, finding))
            yield warning(
                "link-hidden",
                cause,
                origin,
                f"It is to show `{finding}` {_of_100(seen.strength)}, but what else it shows hides "
                f"or withholds that: alone, it is seen {_of_100(seen.most)}.",
                f"Take `{finding}` out here, or what hides it out of `hidden-by` or `needs`.",
            )
        elif seen.anyway >= ANYWAY:
            done.add((cause, finding))
            yield warning(
                "link-told-twice",
                cause,
                origin,
                f"`{finding}` follows {_of_100(seen.anyway)} from what else the cause shows; "
                "the link says so again.",
                f"Take `{finding}` out here: it is authored once, on the finding.",
            )


def _of_100(chance: float) -> str:
    return f"{100.0 * chance:.2g} times of 100"


def _authored(subject: Subject, cause: str, finding: str) -> Shows:
    return next(s for s in subject.knowledge.causes[cause].shows if s.finding == finding)


def _links(subject: Subject, alone: Alone) -> Iterator[_Seen]:
    """Yield the links to findings that other findings can hide, withhold or bring about."""
    columns: dict[int, list[tuple[int, Column]]] = {}
    for row, column in enumerate(alone.columns):
        if column.answer < len(subject.network.findings[column.finding].answers):
            columns.setdefault(column.finding, []).append((row, column))
    for index, finding in enumerate(subject.network.findings):
        if finding.hidden_by or finding.needs or finding.follows:
            for link in finding.links:
                yield from _seen(index, finding, link, alone, columns[index])


def _seen(
    index: int, finding: Finding, link: Link, alone: Alone, columns: list[tuple[int, Column]]
) -> Iterator[_Seen]:
    """Yield the link over the layouts under which it holds, where there is one."""
    shown: dict[States, float] = {}
    for row, column in columns:
        if _holds(link.when + finding.when, column.states):
            before = shown.get(column.states, 0.0)
            shown[column.states] = before + float(alone.shown[row, link.source])
    chances = [chance for chance in shown.values() if not np.isnan(chance)]
    strength = fsum(link.levels)
    if chances and strength > 0.0:
        quiet = (1.0 - strength) * (1.0 - fsum(finding.leak))
        anyway = 1.0 - (1.0 - min(chances)) / quiet if quiet > 1e-9 else 0.0
        yield _Seen(link.source, index, strength, max(chances), anyway)


def _holds(condition: Condition, states: States) -> bool:
    known = dict(states)
    return all(allowed[known[root]] for root, allowed in condition if root in known)
