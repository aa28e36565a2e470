"""What people at work on one case have done apart, put to whoever looks."""

from faultnet.advice.dangers import dangers_met
from faultnet.cases.apart import SETTLED
from faultnet.cases.case import Apart
from faultnet.cases.events import AnyEvent, Ended, Passed, Reopened, RepairDone, Undone
from faultnet.visit.progress import Progress
from faultnet.visit.talk import Talk
from faultnet.visit.told import HOW, moment_said, title_of
from faultnet.visit.turn import Line, Reply, Turn, numbered
from faultnet.visit.unsettled import done_apart

NEITHER = "Neither had seen the other's. All of it counts."
ASKED = {
    "closed": "Is the case closed?",
    "mended": "Was all of this done?",
    "undone": "Was it right to take it back?",
}


def over(talk: Talk, at: Progress) -> Turn | None:
    """Return the question about a case that is closed."""
    return asked(talk, at) if at.ended else None


def asked(talk: Talk, at: Progress) -> Turn | None:
    """Return the question that settles what was first done apart, if anything."""
    if not at.case.apart:
        return None
    apart = at.case.apart[0]
    told = done_apart(talk.subject, at.case, apart)
    lines = [*_dangers(talk, at), Line("say", NEITHER)]
    lines += [
        Line("item", f"{v.author} ({v.by}), {moment_said(v.at)}: {v.words}") for v in told.said
    ]
    replies = (*_replies(at, apart), *_others(talk, at, apart))
    return Turn("apart", told.title, ASKED[apart.kind], tuple(lines), replies)


def _replies(at: Progress, apart: Apart) -> tuple[Reply, ...]:
    """Return yes, and no where one event says it."""
    yes = Passed(SETTLED + apart.kind)
    if apart.kind == "closed":
        how = HOW.get(at.ended, at.ended)
        return (Reply("y", f"yes: {how}", yes), Reply("n", "no, it goes on", Reopened()))
    if apart.kind == "mended":
        return (Reply("y", "yes, all of it", yes),)
    undoing = next(each for each in apart.done if isinstance(each.event, Undone))
    return (Reply("y", "yes", yes), Reply("n", "no, it counts", Undone(undoing.id)))


def _others(talk: Talk, at: Progress, apart: Apart) -> tuple[Reply, ...]:
    """Return what else it may be: closed in another way, or one thing not done."""
    labels: dict[str, AnyEvent] = {}
    for each in apart.done:
        if isinstance(each.event, Ended) and each.event.how != at.ended:
            labels[f"closed in another way: {HOW.get(each.event.how, each.event.how)}"] = each.event
        elif apart.kind == "mended":
            done = each.event.repair if isinstance(each.event, RepairDone) else ""
            what = title_of(talk.subject, done) if done else "something else"
            labels[f"not done: {what} ({each.author})"] = Undone(each.id)
    return numbered(labels)


def _dangers(talk: Talk, at: Progress) -> tuple[Line, ...]:
    """Return the dangers that are open: whoever closed the case may not have heard of them."""
    met = dangers_met(talk.subject, at.evidence)
    return tuple(Line("danger", each.say) for each in met if not each.made_safe)
