"""The state as found: looked at on arrival, before anything is touched."""

from contextlib import suppress

from faultnet.cases.events import AsFound, Passed
from faultnet.model.as_found import Look
from faultnet.reckon.units import UnfitNumberError, number_in
from faultnet.visit.progress import Progress
from faultnet.visit.talk import Talk
from faultnet.visit.turn import Line, Reply, Turn, Typed, numbered

STAGE = "as-found"
MOST_PSI = 200.0
"""A gauge that shows more than this was misread: no tank of this kind stands it (judgement)."""

SKIP = Reply("s", "skip these looks", Passed(STAGE))


def asked(talk: Talk, at: Progress) -> Turn | None:
    """Return the next look; none once anything was touched, or for somebody on the phone."""
    touched = at.made or at.done or at.step or len(at.evidence.rounds) > 1
    if STAGE in at.passed or at.speaker != "technician" or touched:
        return None
    looks = [look for look in talk.subject.knowledge.as_found.values() if _here(talk, at, look)]
    left = [look for look in looks if look.id not in at.found_as]
    if not left:
        return None
    heading = f"As you found it, {len(looks) - len(left) + 1} of {len(looks)}"
    return look_turn(left[0], heading)


def look_turn(look: Look, heading: str, unfit: str = "") -> Turn:
    """Return the turn of a look; ``unfit`` says what was wrong with a number."""
    note = Line("note", "Before anything is touched. It is kept for the report.")
    lines = (note, *((Line("caution", unfit),) if unfit else ()))
    not_seen = Reply("?", "cannot tell", AsFound(look.id))
    if look.unit:
        typed = Typed(f"look:{look.id}", f"In {look.unit}:")
        return Turn("as-found", heading, look.ask, lines, (not_seen, SKIP), typed=typed)
    replies = numbered({each.title: AsFound(look.id, each.id) for each in look.answers})
    return Turn("as-found", heading, look.ask, lines, (*replies, not_seen, SKIP))


def read(talk: Talk, name: str, text: str) -> AsFound | Turn:
    """Return the number that was typed for a look, or the turn that asks again."""
    look = talk.subject.knowledge.as_found[name]
    word = text.strip()
    with suppress(UnfitNumberError):
        value = number_in(word, look.unit)
        if 0.0 <= value <= MOST_PSI:
            return AsFound(name, value=value)
    unfit = f"`{word[:20]}` is no reading: a number from 0 to {MOST_PSI:g} {look.unit}, or in bar."
    return look_turn(look, "As you found it", unfit)


def _here(talk: Talk, at: Progress, look: Look) -> bool:
    """Whether a look can be taken here, as far as the layout is known."""
    return talk.fits(at, look.only_when)
