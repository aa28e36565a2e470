"""How likely each answer of a check is, exactly."""

from collections.abc import Sequence

from faultnet.advice.candidates import Candidate
from faultnet.advice.subject import Subject
from faultnet.inference.downsets import Expander
from faultnet.inference.query import Query
from faultnet.inference.rows import Row


def weigh_answers(
    subject: Subject, base: Query, candidate: Candidate, wanted: Sequence[dict[str, str]]
) -> list[float]:
    """Return P(evidence and answers) for joint answers of a check.

    ``base`` is the evidence alone, causes counted. Only the causes that evidence and
    answers speak about are swept; the case that there is no cause at all is taken off.
    """
    findings = [subject.findings[f] for f in candidate.findings]
    counted = subject.network.faults != "several" or base.observed.rounds > 1
    query = Query(subject.network, base.observed, candidates=findings, counting=counted)
    expander = Expander(query)
    rows = [expander.rows(candidate.terms(subject, expander, answers)) for answers in wanted]
    unique = list(dict.fromkeys(row for outcome in rows for row, _ in outcome))
    weights = query.weigh(unique)
    if not counted:
        weights = weights - _no_cause(subject, base, unique)
    weight_of = dict(zip(unique, weights, strict=True))
    return [max(0.0, float(sum(c * weight_of[r] for r, c in outcome))) for outcome in rows]


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
                scale *= 1.0 - sum(subject.network.findings[finding].leak[level:])
        kept = tuple((f, level) for f, level in row.limits if f in drawn)
        stripped.append(Row(kept, row.roots))
        scales.append(scale)
    unique = list(dict.fromkeys(stripped))
    none = dict(zip(unique, base.weigh_by_tally(unique)[:, 0], strict=True))
    return [float(none[row]) * scale for row, scale in zip(stripped, scales, strict=True)]
