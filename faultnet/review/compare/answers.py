"""What one version says to evidence: the causes, the dangers and the next step."""

import msgspec

from faultnet.advice.possibilities import UnfitReadingError
from faultnet.advice.ranking import Likeliest, likeliest
from faultnet.advice.steps import next_steps
from faultnet.advice.subject import Subject, UnknownNameError
from faultnet.inference.engine import TooLargeError
from faultnet.model.evidence import Evidence
from faultnet.network.build import UNLISTED
from faultnet.review.compare.renamed import Dictionary


class NextStep(msgspec.Struct, frozen=True):
    """The best next step of a technician, and the minutes that it is expected to lead to."""

    id: str
    expected_total: float


class Answers(msgspec.Struct, frozen=True):
    """What comes of evidence; ``refused`` says why nothing does.

    ``causes`` holds the probability of every cause, likeliest first, the unlisted one last.
    """

    causes: dict[str, float]
    dangers: tuple[str, ...] = ()
    refused: str = ""

    @property
    def first(self) -> str:
        """The likeliest cause that stands in the files, or nothing."""
        return next((cause for cause in self.causes if cause != UNLISTED), "")


def ranked(subject: Subject, evidence: Evidence) -> Likeliest | str:
    """Return what is believed, or why nothing can be."""
    try:
        return likeliest(subject, evidence)
    except (TooLargeError, UnfitReadingError, UnknownNameError) as error:
        return str(error)


def answers_of(ranking: Likeliest | str, words: Dictionary) -> Answers:
    """Return what a version says, in the ids of the new one."""
    if isinstance(ranking, str):
        return Answers({}, refused=ranking)
    dangers = tuple(sorted(f"{words(d.finding)}={d.answer}" for d in ranking.dangers))
    if ranking.conflict:
        said = ", ".join(f"{words(each.about)}={each.answer}" for each in ranking.conflict)
        return Answers({}, dangers, f"{said} cannot be true together")
    causes = {words(cause.id): cause.probability for cause in ranking.causes}
    return Answers({**causes, UNLISTED: ranking.unlisted}, dangers)


def step_after(subject: Subject, evidence: Evidence) -> NextStep | None:
    """Return the next step; None where there is none, or it would take too long to price."""
    try:
        advice = next_steps(subject, evidence)
    except (TooLargeError, UnfitReadingError, UnknownNameError):
        return None
    best = next(iter(advice.steps), None)
    return None if best is None else NextStep(best.id, best.expected_total)
