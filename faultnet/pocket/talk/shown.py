"""What a screen of the page is made of: the turn, and what stands beside it."""

import msgspec

from faultnet.advice.ranking import Ranking
from faultnet.advice.step import Step
from faultnet.cases.entry import Entry
from faultnet.pocket.talk.pad import Pad
from faultnet.pocket.talk.trouble import Trouble
from faultnet.visit.turn import Line, Reply, Turn, Typed


class ReplyShown(msgspec.Struct, frozen=True):
    """A key with what it says; ``keeps`` is whether it is kept, or only leads to a view."""

    key: str
    label: str
    view: str
    keeps: bool


class TurnShown(msgspec.Struct, frozen=True):
    """What is put to the technician, and what can be replied."""

    kind: str
    heading: str
    title: str
    lines: tuple[Line, ...]
    replies: tuple[ReplyShown, ...]
    bar: tuple[ReplyShown, ...]
    typed: Typed | None


class DangerShown(msgspec.Struct, frozen=True):
    """A danger that is not made safe: what to do, and whom to send for."""

    finding: str
    say: str
    send: str


class StepShown(msgspec.Struct, frozen=True):
    """The step that is offered, in minutes; ``expected_total`` adds what is expected to follow."""

    id: str
    kind: str
    title: str
    minutes: float
    waiting: float
    price: float
    expected_total: float
    who: str


class CauseShown(msgspec.Struct, frozen=True):
    """A cause with its probability."""

    id: str
    title: str
    probability: float


class RankingShown(msgspec.Struct, frozen=True):
    """Causes, likeliest first, with P(not in these files) and P(more than one at once)."""

    causes: tuple[CauseShown, ...]
    unlisted: float
    more_than_one: float


class Shown(msgspec.Struct, frozen=True):
    """A screen of the page.

    ``left`` are seconds of a timer and ``until`` when it runs out, in seconds since 1970, by the
    clock of the phone. ``note`` is what is worth keeping about the turn that is due. ``unfit``
    counts entries that do not fit this knowledge, ``missing`` those that somebody had seen and
    that are not here, ``unread`` says why others cannot be read.
    """

    case: str
    system: str
    title: str
    site: str
    over: bool
    last: str
    turn: TurnShown
    pad: Pad | None
    left: int | None
    until: float | None
    dangers: tuple[DangerShown, ...]
    step: StepShown | None
    ranking: RankingShown | None
    note: Entry | None
    unfit: int
    missing: int
    conflicts: int
    unread: tuple[Trouble, ...]


def turn_shown(turn: Turn) -> TurnShown:
    """Return a turn as it is shown."""
    return TurnShown(
        turn.kind,
        turn.heading,
        turn.title,
        turn.lines,
        tuple(map(_reply, turn.replies)),
        tuple(map(_reply, turn.bar)),
        turn.typed,
    )


def step_shown(step: Step) -> StepShown:
    """Return a step as it is shown."""
    return msgspec.convert(step, StepShown, from_attributes=True)


def ranking_shown(ranking: Ranking, most: int) -> RankingShown:
    """Return the first causes of a ranking as they are shown."""
    return RankingShown(
        tuple(CauseShown(c.id, c.title, c.probability) for c in ranking.causes[:most]),
        ranking.unlisted,
        ranking.more_than_one,
    )


def _reply(reply: Reply) -> ReplyShown:
    return ReplyShown(reply.key, reply.label, reply.view, reply.event is not None)
