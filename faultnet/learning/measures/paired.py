"""The same closed cases put to two versions of the numbers, case by case."""

import msgspec

from faultnet.advice.subject import Subject
from faultnet.learning.fit.fit import places_of
from faultnet.learning.measures.figures import Mean, Summed, mean
from faultnet.learning.measures.measured import Asked, Measuring, Systems
from faultnet.learning.measures.ranked import Ranked
from faultnet.learning.measures.sums import Sums
from faultnet.learning.source import Part, Source
from faultnet.sharing.sharing import Sharing


class Moved(Summed, frozen=True):
    """What the other version adds to each case, over the cases that both could rank."""

    log_loss: Mean = Mean()
    brier: Mean = Mean()
    three: Mean = Mean()


class Pair(Summed, frozen=True):
    """The measures of one version and the other, and what the other adds to each case."""

    one: Sums = msgspec.field(default_factory=Sums)
    other: Sums = msgspec.field(default_factory=Sums)
    at_call: Moved = Moved()
    before_repair: Moved = Moved()


def paired(
    one: Subject | Systems,
    other: Subject | Systems,
    source: Source,
    sharing: Sharing,
    asked: Asked | None = None,
) -> Pair:
    """Return the measures of two versions on the same cases; raise as ``measured`` does."""
    asked = asked or Asked()
    pairing = Pairing(Measuring(one, asked), Measuring(other, asked))
    return sum(sharing.each(pairing, source.parts()), Pair())


class Pairing:
    """Puts the cases of a part to both; it can be sent to a process of its own."""

    def __init__(self, one: Measuring, other: Measuring) -> None:
        """Keep both."""
        self._one, self._other = one, other

    def __call__(self, part: Part) -> Pair:
        """Return the sums over a part."""
        batch = part.read()
        unread = self._one.unread(batch)
        pair = Pair(unread, unread)
        for case, place in zip(batch.cases, places_of(batch), strict=True):
            one, other = self._one.case(case, place), self._other.case(case, place)
            pair += Pair(
                one,
                other,
                _moved(one.whole.at_call, other.whole.at_call),
                _moved(one.whole.before_repair, other.whole.before_repair),
            )
        return pair


def _moved(one: Ranked, other: Ranked) -> Moved:
    """What the other adds to one case; nothing where one of them could not rank it."""
    if not (one.cases and other.cases):
        return Moved()
    return Moved(
        mean(other.log_loss.total - one.log_loss.total),
        mean(other.brier.total - one.brier.total),
        mean(float(other.best.three.hits - one.best.three.hits)),
    )
