"""What accepted offers do to closed cases, exactly: before and after, case by case."""

from collections.abc import Iterator, Sequence
from math import log

import msgspec

from faultnet.advice.subject import Subject, make_subject
from faultnet.learning.proposal.looked import Looked
from faultnet.model.knowledge import Knowledge
from faultnet.network.build import UNLISTED
from faultnet.review.compare.answers import ranked, step_after
from faultnet.sharing.sharing import Sharing

LEAST = 1e-12
"""The least chance that what was confirmed is taken to have had."""
TOP = 3


class Stand(msgspec.Struct, frozen=True):
    """How a case stands: minus the log of the chance of what was confirmed; what comes first."""

    loss: float
    first: str
    rank: int
    step: str
    minutes: float


class Tried(msgspec.Struct, frozen=True):
    """A closed case under the knowledge before and after."""

    case: str
    before: Stand
    after: Stand


class Trying:
    """Puts cases to both; it can be sent to a process of its own."""

    def __init__(self, before: Knowledge, after: Knowledge, system: str) -> None:
        """Keep both; nothing is made ready yet."""
        self.both, self.system = (before, after), system
        self._subjects: tuple[Subject, ...] = ()

    def __call__(self, case: Looked) -> Tried | None:
        """Return how a case stands under both; None where one of them has no ranking."""
        if not self._subjects:
            self._subjects = tuple(make_subject(k, self.system) for k in self.both)
        before, after = (_stand(subject, case) for subject in self._subjects)
        return Tried(case.case, before, after) if before and after else None


class Trial(msgspec.Struct, frozen=True):
    """What came of all cases: ``left`` of them had no ranking; the means are over the others.

    ``loss`` is minus the log of the chance of what was confirmed, ``top`` the share in which it
    stands among the first three, ``minutes`` what is expected from then on.
    """

    cases: int
    left: int
    loss: tuple[float, float]
    top: tuple[float, float]
    minutes: tuple[float, float]
    firsts: tuple[str, ...]
    steps: tuple[str, ...]


def tried(
    before: Knowledge, after: Knowledge, system: str, cases: Sequence[Looked], sharing: Sharing
) -> Iterator[Tried | None]:
    """Yield how each case stands before and after, in order."""
    return sharing.each(Trying(before, after, system), cases)


def trial_of(found: Sequence[Tried | None]) -> Trial:
    """Return what cases come to together."""
    told = [each for each in found if each is not None]
    return Trial(
        len(told),
        len(found) - len(told),
        _means([(t.before.loss, t.after.loss) for t in told]),
        _means([(float(t.before.rank <= TOP), float(t.after.rank <= TOP)) for t in told]),
        _means([(t.before.minutes, t.after.minutes) for t in told]),
        tuple(t.case for t in told if t.before.first != t.after.first),
        tuple(t.case for t in told if t.before.step != t.after.step),
    )


def _stand(subject: Subject, case: Looked) -> Stand | None:
    ranking = ranked(subject, case.evidence)
    if isinstance(ranking, str) or ranking.conflict:
        return None
    chances = {cause.id: cause.probability for cause in ranking.causes}
    order = [cause for cause in chances if cause != UNLISTED]
    loss = sum(-log(max(chances.get(cause, 0.0), LEAST)) for cause in case.causes)
    rank = min((order.index(c) + 1 for c in case.causes if c in chances), default=len(order) + 1)
    step = step_after(subject, case.evidence)
    return Stand(
        loss,
        order[0] if order else "",
        rank,
        step.id if step else "",
        step.expected_total if step else 0.0,
    )


def _means(pairs: Sequence[tuple[float, float]]) -> tuple[float, float]:
    count = max(len(pairs), 1)
    return sum(old for old, _ in pairs) / count, sum(new for _, new in pairs) / count
