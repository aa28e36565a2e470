"""After a repair: put back what was set up, try it, ask again, prove it."""

from faultnet.cases.events import Passed, Proved, SetUpUndone, Works
from faultnet.visit.progress import Progress, wrong
from faultnet.visit.question import question
from faultnet.visit.set_ups import undo_order
from faultnet.visit.talk import Talk
from faultnet.visit.told import title_of
from faultnet.visit.turn import DONE, Line, Reply, Turn, lines

DISINFECT = {
    "wipe": "Wipe and flush what was opened with chlorinated water.",
    "full": "Full disinfection, then a sample. Nobody drinks the water before the sample is good; "
    "local rules say how strong and how long.",
}
"""What was opened decides how far the water has to be made safe again; common practice."""

RECORD = (
    "Write down as measured: the hold test, start and stop pressure, whatever was measured before.",
    "Where air had got in: the prime still stands after an hour, better next morning.",
)
"""What proves a repair on any installation; common practice, no source."""


def asked(talk: Talk, at: Progress) -> Turn | None:
    """Return the next turn after a repair, or None when it did not end the trouble."""
    if not at.trying or not at.repair:
        return None
    if at.made and "put-back" not in at.passed and not _begun(at):
        return _put_back(talk, at)
    left = [c for c in at.complaints if not at.settled(c) and talk.askable(at, c)]
    if left:
        heading = f"After the repair, {len(left)} to ask again"
        return question(talk, at, left[0], heading)
    if not ended(talk, at):
        told = at.works is not None or at.proof or _still(talk, at)
        return None if told else _overall(talk, at)
    return None if at.proof else _proof(talk, at)


def ended(talk: Talk, at: Progress) -> bool:
    """Whether the trouble has ended, as far as was told."""
    if not at.trying or _still(talk, at) or at.works is False or at.proof == "no":
        return False
    quiet = [c for c in at.complaints if at.said(c)]
    return at.works is True or (bool(quiet) and len(quiet) == len(at.complaints))


def proved(talk: Talk, at: Progress) -> bool:
    """Whether the visit can close: the trouble has ended, and the proof is in or to come."""
    return ended(talk, at) and at.proof in {"yes", "later"}


def _begun(at: Progress) -> bool:
    return bool(at.now.answers) or at.works is not None


def _still(talk: Talk, at: Progress) -> bool:
    return any(wrong(talk.finding(c), at.said(c)) for c in at.complaints)


def _put_back(talk: Talk, at: Progress) -> Turn:
    order = undo_order(talk.subject.knowledge, at.made)
    body = (
        Line("say", "In this order. Then start the pump and try it:"),
        *lines("item", tuple(title_of(talk.subject, s) for s in order)),
        *lines("caution", _disinfection(talk, at)),
    )
    done = Reply(DONE, "all undone, it has been tried", SetUpUndone(order))
    keep = Reply("k", "some stay as they are for now", Passed("put-back"))
    how = Reply("h", "how to", view="how")
    return Turn("put-back", "After the repair", "Undo what was set up", body, (done, keep, how))


def _overall(talk: Talk, at: Progress) -> Turn:
    replies = (Reply("y", "yes", Works(works=True)), Reply("n", "no", Works(works=False)))
    title = "Does the system work as it should again?"
    return Turn(
        "works",
        f"After: {title_of(talk.subject, at.repair)}",
        title,
        (),
        (*replies, Reply("?", "can't tell", Works(works=False))),
    )


def _proof(talk: Talk, at: Progress) -> Turn:
    repair = talk.subject.knowledge.repairs[at.repair]
    minutes = repair.proof_minutes.value
    proof = repair.proof or "The signs of the trouble stay away under normal use."
    body = (
        Line("say", f"It works now. The proof takes about {minutes:.0f} min:"),
        Line("item", proof),
        *lines("item", RECORD),
        *lines("caution", _disinfection(talk, at)),
    )
    replies = (
        Reply("y", "proved", Proved("yes")),
        Reply("m", "measured: write the numbers down", view="readings:"),
        Reply("n", "it failed the proof", Proved("no")),
        Reply("l", "part of it comes later", Proved("later")),
        Reply("h", "how to", view="how"),
    )
    return Turn("proof", "The trouble is gone", "Prove the repair", body, replies)


def _disinfection(talk: Talk, at: Progress) -> tuple[str, ...]:
    told = DISINFECT.get(talk.subject.knowledge.repairs[at.repair].disinfect)
    return (told,) if told else ()
