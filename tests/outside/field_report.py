"""How far the ranking goes on publicly reported cases, beside a plain reading of the table.

Run `python -m tests.outside.field_report`; it prints the tables that docs/field-cases.md holds.

What was told is taken twice: as it stands, which is how the plain reading takes it, and as a
caller's word, which may be wrong. Where several causes were found, the one placed best counts,
for its place and for its probability alike; the same for ours and for the plain reading. A
place is one more than the number of likelier causes.
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

SPEAKERS = ("technician", "caller")
"""Whose word it is taken for; a technician's is taken as it stands."""
PUBLISHED = {"first": 0.33, "top_3": 0.42, "top_5": 0.54, "loss": 2.58}
"""Figures published for a plain reading of the table: those to beat."""
SEED = 20
RESAMPLES = 20_000


@dataclass(frozen=True)
class Score:
    """Where the true cause stands, how likely it is, and how many causes are expected in all."""

    place: int
    chance: float
    expected: float

    @property
    def loss(self) -> float:
        """The natural logarithm of the chance, without its sign."""
        return -log(self.chance) if self.chance > 0.0 else inf

    @property
    def share_loss(self) -> float:
        """The same of the chance as a share of all chances, which then sum to one."""
        return self.loss + log(self.expected)


@dataclass(frozen=True)
class Summary:
    """Shares of cases with the true cause first, in the first three and five; means."""

    first: float
    top_3: float
    top_5: float
    loss: float
    share_loss: float
    expected: float


def evidence_of(subject: Subject, case: FieldCase, speaker: str) -> Evidence:
    """Return what the account tells, as the word of a speaker."""
    before = {c: a == "yes" for c, a in case.given.items() if c in subject.system.circumstances}
    answers = [Answer(f, a, speaker) for f, a in case.given.items() if f not in before]
    return Evidence((Round(tuple(answers)),), case.layout, before)


def our_scores(cases: tuple[FieldCase, ...], speaker: str) -> list[Score]:
    """Return what the shipped knowledge says of each case."""
    knowledge = load(shipped_folder())
    subjects = {case.system: make_subject(knowledge, case.system) for case in cases}
    scores = []
    for case in cases:
        subject = subjects[case.system]
        ranking = rank(subject, evidence_of(subject, case, speaker))
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
        float(np.mean([s.expected for s in scores])),
    )


def interval(differences: list[float]) -> tuple[float, float, float]:
    """Return the mean and its 95 % bootstrap interval (percentiles, cases drawn again)."""
    values = np.array(differences)
    draws = np.random.default_rng(SEED).integers(len(values), size=(RESAMPLES, len(values)))
    low, high = np.percentile(values[draws].mean(axis=1), [2.5, 97.5])
    return float(values.mean()), float(low), float(high)


def beaten(found: Summary) -> dict[str, bool]:
    """Return which published figures are beaten, both rounded as they were published."""
    rounded = {name: round(getattr(found, name), 2) for name in PUBLISHED}
    return {
        name: rounded[name] < figure if name == "loss" else rounded[name] > figure
        for name, figure in PUBLISHED.items()
    }


def verdict(found: Summary) -> str:
    """Return in words which published figures are beaten."""
    names = {"first": "first", "top_3": "first three", "top_5": "first five", "loss": "log loss"}
    outcome = beaten(found)
    won = ", ".join(names[name] for name, yes in outcome.items() if yes) or "none"
    lost = ", ".join(names[name] for name, yes in outcome.items() if not yes) or "none"
    return f"Published figures beaten: {won}; not beaten: {lost}."


def report() -> str:
    """Return the tables as markdown."""
    cases = read_field_cases()
    ours = [our_scores(cases, speaker) for speaker in SPEAKERS]
    plain = plain_scores(cases)
    version = load(shipped_folder()).version
    lines = [f"Knowledge {version[:12]}. {verdict(summary(ours[0]))}", ""]
    lines += [*_figures(ours, plain), ""]
    return "\n".join([*lines, *_table(cases, ours, plain)])


def _score(case: FieldCase, chances: dict[str, float], unlisted: float) -> Score:
    chance = max(chances.get(cause, 0.0) for cause in case.cause)
    place = 1 + sum(other > chance for other in chances.values())
    return Score(place, chance, sum(chances.values()) + unlisted)


def _figures(ours: list[list[Score]], plain: list[Score]) -> list[str]:
    columns = [summary(scores) for scores in (*ours, plain)]
    rows = {
        "true cause first": [c.first for c in columns],
        "in the first three": [c.top_3 for c in columns],
        "in the first five": [c.top_5 for c in columns],
        "mean log loss": [c.loss for c in columns],
        "mean log loss of shares": [c.share_loss for c in columns],
        "causes expected to be present": [c.expected for c in columns],
    }
    figures = [f"| {name} | {' | '.join(f'{x:.2f}' for x in row)} |" for name, row in rows.items()]
    spans = [
        f"| {name} less the plain reading's | {' | '.join(_span(s, plain, of) for s in ours)} | |"
        for name, of in (("log loss", "loss"), ("log loss of shares", "share_loss"))
    ]
    return [
        f"| {len(plain)} cases | as it stands | as a caller's word | plain reading |",
        "|---|---|---|---|",
        *figures,
        *spans,
    ]


def _span(ours: list[Score], plain: list[Score], figure: str) -> str:
    pairs = zip(ours, plain, strict=True)
    mean, low, high = interval([getattr(a, figure) - getattr(b, figure) for a, b in pairs])
    return f"{mean:+.2f} ({low:+.2f} to {high:+.2f})"


def _table(cases: tuple[FieldCase, ...], ours: list[list[Score]], plain: list[Score]) -> list[str]:
    return [
        "| case and quality | what was told | what it was | as it stands | caller's | plain |",
        "|---|---|---|---|---|---|",
        *(
            f"| [{case.id}]({case.source}) {case.quality} | {_told(case)} "
            f"| {', '.join(case.cause)} | {' | '.join(f'{s.place}: {s.chance:.3f}' for s in row)} |"
            for case, *row in zip(cases, *ours, plain, strict=True)
        ),
    ]


def _told(case: FieldCase) -> str:
    given = [f if answer == "yes" else f"not {f}" for f, answer in case.given.items()]
    layout = [f"{about}: {value}" for about, value in case.layout.items()]
    return f"{', '.join(given)} ({', '.join([case.system, *layout])})"


if __name__ == "__main__":
    print(report())  # noqa: T201 the report is what it is run for
