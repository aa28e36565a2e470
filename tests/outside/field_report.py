"""How far the ranking goes on publicly reported cases, beside a plain reading of the table.

Run `python -m tests.outside.field_report`; it prints the tables that docs/field-cases.md holds.

What was told is taken as a caller's word: owners wrote the accounts. Where several causes
were found, the one placed best counts, for its place and for its probability alike; the same
for ours and for the plain reading. A place is one more than the number of likelier causes.
"""

from dataclasses import dataclass
from math import inf, log

import numpy as np

from faultnet.advice.ranking import rank
from faultnet.advice.subject import Subject, make_subject
from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.store import load
from faultnet.model.evidence import Answer, Evidence, Round
from tests.outside.field_cases import FieldCase, read_field_cases
from tests.outside.plain_reading import plain_chances, read_table

SEED = 20
RESAMPLES = 20_000


@dataclass(frozen=True)
class Score:
    """Where the true cause stands, how likely it is said to be, and its share of all causes."""

    place: int
    chance: float
    share: float

    @property
    def loss(self) -> float:
        """The natural logarithm of the chance, without its sign."""
        return -log(self.chance) if self.chance > 0.0 else inf

    @property
    def share_loss(self) -> float:
        """The same of the share: the chances of all causes brought to a sum of one."""
        return -log(self.share) if self.share > 0.0 else inf


@dataclass(frozen=True)
class Summary:
    """Shares of cases with the true cause first, in the first three and five; mean losses."""

    first: float
    top_3: float
    top_5: float
    loss: float
    share_loss: float


def evidence_of(subject: Subject, case: FieldCase) -> Evidence:
    """Return what the account tells, as a caller's word."""
    before = {c: a == "yes" for c, a in case.given.items() if c in subject.system.circumstances}
    answers = [Answer(f, a, "caller") for f, a in case.given.items() if f not in before]
    return Evidence((Round(tuple(answers)),), case.layout, before)


def our_scores(cases: tuple[FieldCase, ...]) -> list[Score]:
    """Return what the shipped knowledge says of each case."""
    knowledge = load(shipped_folder())
    subjects = {case.system: make_subject(knowledge, case.system) for case in cases}
    scores = []
    for case in cases:
        subject = subjects[case.system]
        ranking = rank(subject, evidence_of(subject, case))
        chances = {c.id: c.probability for c in ranking.causes}
        scores.append(_score(case, chances, ranking.unlisted))
    return scores


def plain_scores(cases: tuple[FieldCase, ...]) -> list[Score]:
    """Return what the plain reading says of each case."""
    table = read_table()
    return [_score(case, plain_chances(table, case.given), 0.0) for case in cases]


def summary(scores: list[Score]) -> Summary:
    """Return the figures of all cases."""
    places = np.array([s.place for s in scores])
    return Summary(
        float((places == 1).mean()),
        float((places <= 3).mean()),
        float((places <= 5).mean()),
        float(np.mean([s.loss for s in scores])),
        float(np.mean([s.share_loss for s in scores])),
    )


def interval(differences: list[float]) -> tuple[float, float, float]:
    """Return the mean and its 95 % bootstrap interval (percentiles, cases drawn again)."""
    values = np.array(differences)
    draws = np.random.default_rng(SEED).integers(len(values), size=(RESAMPLES, len(values)))
    low, high = np.percentile(values[draws].mean(axis=1), [2.5, 97.5])
    return float(values.mean()), float(low), float(high)


def report() -> str:
    """Return the tables as markdown."""
    cases = read_field_cases()
    ours, plain = our_scores(cases), plain_scores(cases)
    return "\n".join([*_figures(ours, plain), "", *_table(cases, ours, plain)])


def _score(case: FieldCase, chances: dict[str, float], unlisted: float) -> Score:
    chance = max(chances.get(cause, 0.0) for cause in case.cause)
    place = 1 + sum(other > chance for other in chances.values())
    return Score(place, chance, chance / (sum(chances.values()) + unlisted))


def _figures(ours: list[Score], plain: list[Score]) -> list[str]:
    us, peer = summary(ours), summary(plain)
    loss = interval([a.loss - b.loss for a, b in zip(ours, plain, strict=True)])
    share = interval([a.share_loss - b.share_loss for a, b in zip(ours, plain, strict=True)])
    return [
        f"| {len(ours)} cases | faultnet | plain reading | difference (95 % interval) |",
        "|---|---|---|---|",
        f"| true cause first | {us.first:.2f} | {peer.first:.2f} | |",
        f"| in the first three | {us.top_3:.2f} | {peer.top_3:.2f} | |",
        f"| in the first five | {us.top_5:.2f} | {peer.top_5:.2f} | |",
        f"| mean log loss | {us.loss:.2f} | {peer.loss:.2f} | {_span(loss)} |",
        f"| mean log loss of shares | {us.share_loss:.2f} | {peer.share_loss:.2f} | {_span(share)} |",
    ]


def _span(span: tuple[float, float, float]) -> str:
    mean, low, high = span
    return f"{mean:+.2f} ({low:+.2f} to {high:+.2f})"


def _table(cases: tuple[FieldCase, ...], ours: list[Score], plain: list[Score]) -> list[str]:
    rows = [
        f"| [{c.id}]({c.source}) {c.quality} | {_told(c)} | {', '.join(c.cause)} "
        f"| {a.place} | {a.chance:.3f} | {b.place} | {b.chance:.3f} |"
        for c, a, b in zip(cases, ours, plain, strict=True)
    ]
    return [
        "| case, quality | what was told | what it was | place | probability | plain: place "
        "| probability |",
        "|---|---|---|---|---|---|---|",
        *rows,
    ]


def _told(case: FieldCase) -> str:
    system = case.system
    layout = [f"{about}: {value}" for about, value in case.layout.items()]
    given = [
        finding if answer == "yes" else f"not {finding}" for finding, answer in case.given.items()
    ]
    return f"{', '.join(given)} ({', '.join([system, *layout])})"


if __name__ == "__main__":
    print(report())  # noqa: T201 the report is what it is run for
