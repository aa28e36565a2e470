"""Causes that no finding parts, and the cheapest new finding that would.

Exact: two causes are held against each other as each shows alone, under every layout in
which both can be, with leaks, rules, hiders and needs. What a check looks for outright does
not count: it is no cheap finding.
"""

from collections.abc import Iterator

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.advice.subject import Subject
from faultnet.authoring.problem import Problem, warning
from faultnet.network.build import UNLISTED
from faultnet.network.network import Cause
from faultnet.review.facts.alone import Alone, Column
from faultnet.review.facts.mend import finding_that_parts
from faultnet.review.facts.told import Told

Array = npt.NDArray[np.float64]

NEAR = 0.05
"""Chances of an answer that differ by no more than this part nothing; judgement."""


class _Pair(msgspec.Struct, frozen=True):
    """Two causes by index, by how much the answer differs that parts them most."""

    one: int
    other: int
    apart: float
    column: Column | None


def unparted(told: Told, alone: Alone, done: set[frozenset[str]]) -> Iterator[Problem]:
    """Yield each pair of causes of one system with the same findings equally often.

    Pairs in ``done`` were told of another system; new ones are added.
    """
    subject = told.subject
    causes = subject.knowledge.causes
    for pair in _alike(subject, alone):
        names = (subject.network.causes[k].id for k in (pair.one, pair.other))
        one, other = sorted(names, key=list(causes).index)
        if frozenset({one, other}) in done:
            continue
        done.add(frozenset({one, other}))
        answer = f", `{_finding(subject, pair)}`" if pair.column else ""
        yield warning(
            "causes-no-finding-parts",
            other,
            causes[other].origin,
            f"No finding parts it from `{one}`: alone, both show the same equally often "
            f"(at most {pair.apart:.2f} apart{answer}).",
            finding_that_parts(told, one, other),
        )


def _finding(subject: Subject, pair: _Pair) -> str:
    assert pair.column is not None
    return subject.network.findings[pair.column.finding].id


def _alike(subject: Subject, alone: Alone) -> Iterator[_Pair]:
    """Yield the pairs that are near in every column; only likely ones are held together."""
    knowledge = subject.knowledge
    kept = [k for k, c in enumerate(alone.columns) if not _found(subject, c)]
    shown = np.vstack([alone.shown[kept], _brought(subject)])
    grouped = [set(group.causes) for group in knowledge.look_alikes.values()]
    looked_at = [
        k
        for k, cause in enumerate(subject.network.causes)
        if cause.id != UNLISTED and not knowledge.causes[cause.id].audit
    ]
    telling = _most_telling(shown)
    for one, other in _near(shown, looked_at, telling):
        first, second = subject.network.causes[one], subject.network.causes[other]
        together = any({first.id, second.id} <= group for group in grouped)
        apart = np.abs(shown[:, one] - shown[:, other])
        apart[np.isnan(apart)] = -1.0
        worst = int(apart.argmax())
        if apart[worst] <= NEAR + 1e-9 and not together and _meet(first, second):
            column = alone.columns[kept[worst]] if worst < len(kept) and apart[worst] else None
            yield _Pair(one, other, max(0.0, float(apart[worst])), column)


def _meet(first: Cause, second: Cause) -> bool:
    """Whether there is a layout under which both causes can be."""
    allowed = dict(first.when)
    return all(
        root not in allowed or any(a and b for a, b in zip(states, allowed[root], strict=True))
        for root, states in second.when
    )


def _most_telling(shown: Array) -> list[int]:
    """The column, by cause, in which it differs most from what is usual."""
    usual = np.nanmedian(shown, axis=1, keepdims=True)
    return [int(k) for k in np.nan_to_num(np.abs(shown - usual), nan=-1.0).argmax(axis=0)]


def _near(shown: Array, causes: list[int], telling: list[int]) -> Iterator[tuple[int, int]]:
    """Yield pairs that are near, or not to be told, where either of them differs most."""
    among = np.array(causes, dtype=np.intp)
    for place, one in enumerate(causes):
        later = among[place + 1 :]
        gap = np.abs(shown[telling[one], later] - shown[telling[one], one])
        near = later[~(gap > NEAR + 1e-9)]
        for other in near.tolist():
            gap_there = abs(shown[telling[other], one] - shown[telling[other], other])
            if not gap_there > NEAR + 1e-9:
                yield one, other


def _found(subject: Subject, column: Column) -> bool:
    finding = subject.network.findings[column.finding].id
    return bool(subject.knowledge.findings[finding].found_cause)


def _brought(subject: Subject) -> Array:
    """P(brought along) by cause brought and cause; what it shows then parts as well."""
    causes = subject.network.causes
    brought = sorted({b.cause for cause in causes for b in cause.brings})
    table = np.zeros((len(brought), len(causes)))
    for column, cause in enumerate(causes):
        for bring in cause.brings:
            table[brought.index(bring.cause), column] = bring.probability
    return table
