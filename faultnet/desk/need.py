"""Who needs water most, and whether the caller can get to the pump now."""

from faultnet.cases.events import AnyEvent, CallTold, Passed
from faultnet.desk.danger import ENOUGH
from faultnet.visit.call_sheet import NEED, NEEDS, REACH
from faultnet.visit.progress import Progress
from faultnet.visit.talk import Talk
from faultnet.visit.turn import ENTER, Line, Reply, Turn, numbered

_STAGE = "call-need"


def asked(_talk: Talk, at: Progress) -> Turn | None:
    """Return the question who needs water most; several can be told."""
    if _STAGE in at.passed or ENOUGH in at.passed:
        return None
    told = needs(at)
    labels: dict[str, AnyEvent] = {
        title: CallTold(NEED, ", ".join((*told, need)))
        for need, title in NEEDS.items()
        if need not in told
    }
    over = Reply(ENTER, "that is all", Passed(_STAGE)) if told else None
    none = over or Reply("n", "nobody in particular", Passed(_STAGE))
    heading = f"So far: {', '.join(NEEDS[n] for n in told)}" if told else "Who needs water most"
    lines = (Line("note", "It decides how soon somebody comes."),)
    title = "Is there anybody who cannot be without water?"
    return Turn("need", heading, title, lines, (*numbered(labels), none))


def reach(_talk: Talk, at: Progress) -> Turn | None:
    """Return the question whether the caller can get to the pump."""
    if REACH in at.call_sheet or ENOUGH in at.passed:
        return None
    replies = (
        Reply("y", "yes, now", CallTold(REACH, "yes")),
        Reply("n", "no", CallTold(REACH, "no")),
    )
    lines = (Line("note", "No means: nothing is asked that needs a look at the pump."),)
    title = "Can you get to the pump now, dry and in good light?"
    return Turn("reach", "At the pump", title, lines, replies)


def needs(at: Progress) -> tuple[str, ...]:
    """Return the needs that were told."""
    return tuple(word for word in at.call_sheet.get(NEED, "").split(", ") if word in NEEDS)


def at_the_pump(at: Progress) -> bool:
    """Whether the caller can get to the pump."""
    return at.call_sheet.get(REACH) == "yes"
