"""`causes`: the whole ranking, and which answers speak for and against each."""

from collections.abc import Iterator

import msgspec

from faultnet.inference.engine import TooLargeError
from faultnet.pocket.talk.advise import too_large
from faultnet.pocket.talk.carried import Carried, OfCase
from faultnet.pocket.talk.trouble import TroubleError
from faultnet.visit.own_view import hidden
from faultnet.visit.progress import wrong
from faultnet.visit.trouble import ConflictError
from faultnet.visit.visit import Visit

OFTEN = 0.5
"""How often a cause must show a sign for its absence to be told as speaking against it."""


class CauseTold(msgspec.Struct, frozen=True):
    """A cause with its probability, the signs told that it shows, and those that it lacks."""

    id: str
    title: str
    probability: float
    signs: tuple[str, ...]
    lacks: tuple[str, ...]


class Causes(msgspec.Struct, frozen=True):
    """Causes, likeliest first; ``hidden`` is where a suspect is to be named before."""

    hidden: bool
    causes: tuple[CauseTold, ...]
    unlisted: float
    more_than_one: float


def causes(carried: Carried, asked: OfCase) -> Causes:
    """Tell the whole ranking."""
    visit = carried.held(asked).seen
    if hidden(visit.at):
        return Causes(hidden=True, causes=(), unlisted=0.0, more_than_one=0.0)
    try:
        ranking = visit.talk.counsel.ranking(visit.at.evidence)
    except TooLargeError as error:
        raise too_large(error) from None
    except ConflictError:
        mend = "Look again, and take back the one that was wrong."
        raise TroubleError("$.entries", "The answers cannot all be true.", mend) from None
    return Causes(
        hidden=False,
        causes=tuple(
            CauseTold(
                each.id,
                each.title,
                each.probability,
                tuple(_signs(visit, each.id, there=True)),
                tuple(_signs(visit, each.id, there=False)),
            )
            for each in ranking.causes
        ),
        unlisted=ranking.unlisted,
        more_than_one=ranking.more_than_one,
    )


def _signs(visit: Visit, cause: str, *, there: bool) -> Iterator[str]:
    """Yield the signs of a cause that were told, or that were looked for in vain."""
    for link in visit.talk.subject.knowledge.causes[cause].shows:
        finding = visit.talk.finding(link.finding)
        told = visit.at.said(finding.id)
        often = sum(number.value for number in link.strength) >= OFTEN
        if told and wrong(finding, told) == there and (there or often):
            yield finding.title
