"""All that is told of one case: the margins of numbers, of words, and of the next step."""

import msgspec

from faultnet.advice.authored import authored, words
from faultnet.advice.conflict import Said
from faultnet.advice.grounds import grounds
from faultnet.advice.subject import Subject
from faultnet.inference.engine import ImpossibleEvidenceError
from faultnet.model.evidence import Evidence
from faultnet.review.sensitivity.common import Common
from faultnet.review.sensitivity.margin import Margin, in_order
from faultnet.review.sensitivity.margins import Margins
from faultnet.review.sensitivity.standing import WORK, stand
from faultnet.review.sensitivity.steps import NextMargins, Stepping

FEW = 3
"""Numbers that are told beside other things."""
SHORT = 4.0
"""How far they are moved then, as a factor on the odds."""
TEN = 10
"""Numbers that are told."""


class Wanted(msgspec.Struct, frozen=True):
    """What to look at: how many numbers to tell, whether words and the next step too."""

    limit: int = TEN
    words: bool = False
    next_step: bool = False
    who: str = "technician"


class CaseMargins(msgspec.Struct, frozen=True):
    """How far numbers may move in one case.

    ``numbers`` counts those that the evidence speaks about; of them ``margins`` holds the
    first ones whose moves change the first cause. Moves up to ``reach`` on the odds were
    looked at. With a conflict the evidence is impossible.
    """

    first: str = ""
    probability: float = 0.0
    reach: float = 0.0
    numbers: int = 0
    margins: tuple[Margin, ...] = ()
    words: tuple[Margin, ...] = ()
    next: NextMargins | None = None
    conflict: tuple[Said, ...] = ()


def nearest(subject: Subject, evidence: Evidence, count: int = FEW) -> tuple[Margin, ...]:
    """Return the few numbers that likeliest change the first cause, in little time.

    Only short moves are looked at; how common a cause is, with the factor s held. Nothing is
    told of impossible evidence. Raises ``UnknownNameError``, ``UnfitReadingError`` and
    ``TooLargeError``.
    """
    try:
        standing = stand(subject, evidence, reach=SHORT, work=WORK // 4)
    except ImpossibleEvidenceError:
        return ()
    found = Margins(standing, Common(subject)).all_of(authored(subject))
    return tuple(m for m in found if m.low or m.high)[:count]


def case_margins(subject: Subject, evidence: Evidence, wanted: Wanted) -> CaseMargins:
    """Return how far numbers may move before another cause, or another step, comes first.

    The flips that are told are exact. Raises ``UnknownNameError``, ``UnfitReadingError`` and
    ``TooLargeError``.
    """
    try:
        standing = stand(subject, evidence)
    except ImpossibleEvidenceError:
        return CaseMargins(conflict=grounds(subject, evidence).conflict)
    common = Common(subject)
    margins = Margins(standing, common)
    numbers = authored(subject)
    found = margins.all_of(numbers)
    near = [m for m in found if m.low or m.high]
    told = in_order(margins.exact(m) for m in near[: wanted.limit])
    worded = [margins.followed(w) for w in words(numbers, subject.knowledge) if wanted.words]
    step = None
    if wanted.next_step:
        step = Stepping(common, evidence, wanted.who).margins(found)
    return CaseMargins(
        standing.causes[0],
        standing.chances[0],
        standing.reach,
        len(found),
        tuple(told),
        tuple(in_order(worded)),
        step,
    )
