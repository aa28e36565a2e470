"""The end of a visit: how it ends, the site left safe, and what was found and done."""

from faultnet.cases.events import ENDS, Ended, Ending
from faultnet.visit import chain
from faultnet.visit.progress import Progress
from faultnet.visit.retry import proved
from faultnet.visit.set_ups import undo_order
from faultnet.visit.talk import Talk
from faultnet.visit.told import HOW, title_of
from faultnet.visit.turn import BACK, DONE, ENTER, Line, Reply, Turn, lines, numbered
from faultnet.visit.walking import procedure_of

LEAVE = (
    "Hatch, ports and covers closed and fastened.",
    "Bypass and house valves as they were, none shut between pump and tank.",
    "Your lock off; an electric water heater on again only when a hot tap runs.",
)
"""What is looked at before leaving, whatever was done; common practice."""

UNMENDED = "If the pump must not run: off at the panel with a note on it, and the house told why."

PROVED = ("mended", "mended-proof-open")
"""The ends that a proof leads to."""


def ways() -> Turn:
    """Return the ways to end a visit before a repair has been proved."""
    replies = numbered({HOW[how]: Ending(how) for how in ENDS if how not in PROVED})
    back = BACK
    return Turn("ways", "End the visit", "How does it end?", (), (*replies, back))


def settled(talk: Talk, at: Progress) -> str:
    """Return how the visit ends, once that is settled; nothing before."""
    mended = proved(talk, at) and not at.step and chain.asked(talk, at) is None
    return at.ending or (_mended(at) if mended else "")


def leaving(talk: Talk, at: Progress) -> Turn | None:
    """Return what is seen to before leaving, once the end is settled."""
    how = settled(talk, at)
    if not how:
        return None
    order = undo_order(talk.subject.knowledge, at.made)
    undo = [f"Undo: {title_of(talk.subject, s)}." for s in order]
    undo += procedure_of(talk, at).after if at.walk.procedure else ()
    more = () if how.startswith("mended") else (UNMENDED,)
    body = lines("item", (*undo, *LEAVE, *more))
    done = Reply(DONE, "left safe: end the visit", Ended(how))
    return Turn("leave-safe", HOW.get(how, how), "Leave the site safe", body, (done,))


def _mended(at: Progress) -> str:
    return "mended" if at.proof == "yes" else "mended-proof-open"


def over(talk: Talk, at: Progress) -> Turn | None:
    """Return the summary of a visit that is over."""
    if not at.ended:
        return None
    from faultnet.visit.summary import summary

    return Turn("ended", "The visit is over", HOW.get(at.ended, at.ended), summary(talk, at))


def paused(at: Progress) -> Turn | None:
    """Return the turn of a visit that rests."""
    if not at.paused:
        return None
    from faultnet.cases.events import Resumed

    line = Line("say", "Everything is kept. A site that is left alone is left safe.")
    go_on = Reply(ENTER, "go on", Resumed())
    return Turn("paused", "Paused", "Take your time.", (line,), (go_on,))
