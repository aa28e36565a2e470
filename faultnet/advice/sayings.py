"""What the answers of a speaker say, laid out once for all findings of a system."""

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.advice.observe import said
from faultnet.advice.subject import Subject
from faultnet.model.evidence import Answer
from faultnet.model.finding import CANNOT

Array = npt.NDArray[np.float64]

SELDOM = 0.01
"""How often a finding is taken not to be takeable; judgement, only for a quick look."""


class Sayings(msgspec.Struct, frozen=True):
    """P(answer given) as ``base`` + ``slope`` * P(finding normal), all answers in one row.

    ``at`` says by finding where its answers stand, ``of`` by answer the index of its finding.
    """

    at: dict[str, slice]
    of: npt.NDArray[np.intp]
    base: Array
    slope: Array

    def given(self, normal: Array) -> Array:
        """P(answer given), by answer and cause, from P(normal) by finding and cause."""
        return np.asarray(self.base[:, None] + self.slope[:, None] * normal[self.of])


def sayings(subject: Subject, speaker: str) -> Sayings:
    """Return what the answers of a speaker say; worked out once for a system."""
    return subject.once(("sayings", speaker), lambda: _laid_out(subject, speaker))


def _laid_out(subject: Subject, speaker: str) -> Sayings:
    at: dict[str, slice] = {}
    lines: list[tuple[int, float, float]] = []
    for about, index in subject.findings.items():
        answers = subject.knowledge.findings[about].all_answers
        at[about] = slice(len(lines), len(lines) + len(answers))
        lines += [(index, *_line(subject, Answer(about, a, speaker))) for a in answers]
    of, base, slope = zip(*lines, strict=True)
    return Sayings(at, np.array(of, dtype=np.intp), np.array(base), np.array(slope))


def _line(subject: Subject, answer: Answer) -> tuple[float, float]:
    """P(an answer is given) as a number, and what is added where the finding is normal."""
    if answer.answer == CANNOT:
        return SELDOM, 0.0
    levels = len(subject.knowledge.findings[answer.finding].answers) - 1
    chance = said(subject, answer)
    abnormal = sum(chance[1 : levels + 1]) / levels
    return abnormal, chance[0] - abnormal
