"""What happened just before, and what was tried before anybody came."""

from typing import Literal

from faultnet.cases.events import AnyEvent, Told, Tried
from faultnet.visit.progress import Progress
from faultnet.visit.said import tried_said
from faultnet.visit.talk import Talk
from faultnet.visit.told import OUTCOMES, title_of
from faultnet.visit.turn import BACK, KEYS, Line, Reply, Turn, Typed, numbered

SHOWN = 8
"""Repairs in the list at a time."""

QUICK = 20.0
"""Minutes of work up to which people try something themselves (judgement)."""

BECAME: tuple[Literal["nothing", "a-while", "worse", ""], ...] = ("nothing", "a-while", "worse", "")


def before(talk: Talk, at: Progress) -> Turn:
    """Return the circumstances that can be told, and the way to what was tried."""
    known = talk.subject.knowledge.circumstances
    left = [c for c in talk.subject.system.circumstances if not at.settled(c)]
    labels: dict[str, AnyEvent] = {known[c].title: Told(c, "yes") for c in left}
    replies = (
        *numbered(labels),
        Reply("t", "something was tried already", view="tried:0"),
        BACK,
    )
    lines = tuple(Line("item", tried_said(talk.subject, each)) for each in at.tried)
    return Turn("before", "Just before", "What happened before the trouble?", lines, replies)


def listed(talk: Talk, start: int) -> Turn:
    """Return a stretch of what people try themselves, the quickest first."""
    repairs = [talk.subject.knowledge.repairs[r] for r in talk.subject.mended_by]
    quick = [r for r in repairs if r.work.who == "caller" or r.work.minutes.value <= QUICK]
    quick.sort(key=lambda r: (r.work.who != "caller", r.work.minutes.value, r.id))
    here = quick[start : start + SHOWN]
    replies = [
        Reply(key, each.title, view=f"tried-how:{each.id}")
        for key, each in zip(KEYS, here, strict=False)
    ]
    if len(quick) > SHOWN:
        after = start + SHOWN if start + SHOWN < len(quick) else 0
        replies.append(Reply("m", "more", view=f"tried:{after}"))
    replies += [Reply("t", "in your own words", view="tried-words"), BACK]
    return Turn("tried", "Before you came", "What was tried already?", (), tuple(replies))


def outcome(talk: Talk, repair: str) -> Turn:
    """Return the turn that asks what became of something that was tried."""
    labels: dict[str, AnyEvent] = {OUTCOMES[key]: Tried(repair, "", key) for key in BECAME}
    title = title_of(talk.subject, repair)
    return Turn("tried", title, "What became of it?", (), (*numbered(labels), BACK))


def words() -> Turn:
    """Return the turn that takes what was tried in words."""
    typed = Typed("tried", "What was tried, and what became of it?")
    return Turn("tried", "Before you came", "What was tried already?", typed=typed)


def remark(talk: Talk, at: Progress, step: str) -> tuple[Line, ...]:
    """Return what is known of a step that was tried before."""
    found = [each for each in at.tried if each.repair == step]
    return tuple(
        Line("note", f"Tried before you came. {tried_said(talk.subject, each)}.") for each in found
    )
