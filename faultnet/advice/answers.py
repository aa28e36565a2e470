"""How likely each answer of a check is, exactly."""

from collections.abc import Iterable, Sequence
from math import fsum, inf
from typing import TypeAlias

from faultnet.advice.candidates import Candidate
from faultnet.advice.subject import Subject
from faultnet.inference.downsets import Expander
from faultnet.inference.engine import TooLargeError
from faultnet.inference.query import Query
from faultnet.inference.rows import Row

Asked: TypeAlias = tuple[Candidate, Sequence[dict[str, str]]]
"""A check with joint answers to it."""

MOST = 2**30
"""Cells that the sweeps for one advice may work through; some seconds."""
TOGETHER = 2**18
"""Cells that a sweep for several checks at once may work through; else each has its own."""


def weigh_answers(
    subject: Subject, base: Query, asked: Sequence[Asked], most: float = inf
) -> list[list[float]]:
    """Return P(evidence and answers) for joint answers of each check.

    Raises ``TooLargeError`` where more than ``most`` cells would have to be worked through.

    ``base`` is the evidence alone, causes counted. Only the causes that evidence and
    answers speak about are swept; the case that there is no cause at all is taken off.
    """
    query = _query(subject, base, (candidate for candidate, _ in asked))
    if len(asked) > 1 and query.plan.work > TOGETHER:
        return [weigh_answers(subject, base, [each], most / len(asked))[0] for each in asked]
    expander = Expander(query)
    outcomes = [
        [expander.rows(candidate.terms(subject, expander, answers)) for answers in wanted]
        for candidate, wanted in asked
    ]
    unique = list(dict.fromkeys(r for each in outcomes for terms in each for r, _ in terms))
    if query.plan.work * len(unique) > most:
        dear = [subject.network.findings[d.finding].id for d in query.draws if d.tracked]
        raise TooLargeError(query.plan.work * len(unique), int(most), dear)
    weights = query.weigh(unique)
    if not query.counting:
        weights = weights - _no_cause(subject, base, unique)
    weight_of = dict(zip(unique, weights.tolist(), strict=True))
    return [
        [max(0.0, sum(c * weight_of[r] for r, c in terms)) for terms in each] for each in outcomes
    ]


def _query(subject: Subject, base: Query, candidates: Iterable[Candidate]) -> Query:
    """The evidence compiled for answers to some checks."""
    findings = {subject.findings[f] for candidate in candidates for f in candidate.findings}
    counting = subject.network.faults != "several" or base.observed.rounds > 1
    return Query(subject.network, base.observed, candidates=findings, counting=counting)


def _no_cause(subject: Subject, base: Query, rows: list[Row]) -> list[float]:
    """P(evidence and row and no cause at all) for each row.

    Without causes a free finding shows by its leak alone, whatever the rest.
    """
    drawn = {d.finding for d in base.draws}
    stripped = []
    scales = []
    for row in rows:
        scale = 1.0
        for finding, level in row.limits:
            if finding not in drawn:
                scale *= 1.0 - fsum(subject.network.findings[finding].leak[level:])
        kept = tuple((f, level) for f, level in row.limits if f in drawn)
        stripped.append(Row(kept, row.roots))
        scales.append(scale)
    unique = list(dict.fromkeys(stripped))
    none = dict(zip(unique, base.weigh_by_tally(unique)[:, 0], strict=True))
    return [float(none[row]) * scale for row, scale in zip(stripped, scales, strict=True)]
