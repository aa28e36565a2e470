"""Faults come in chains: one link back and one link forward, before the visit ends."""

from msgspec.structs import replace

from faultnet.cases.events import Passed, StepBegun, Watch
from faultnet.cases.fits import found_finding
from faultnet.visit.mended import mended_by, neighbours
from faultnet.visit.progress import Progress
from faultnet.visit.question import question
from faultnet.visit.talk import Talk
from faultnet.visit.turn import Line, Reply, Turn

STAGE = "chain"
MOST = 4
"""Neighbours asked about; the nearest of the likeliest cause come first."""


def asked(talk: Talk, at: Progress) -> Turn | None:
    """Return the next neighbour to look for once a repair is proved, or what to do about one."""
    if STAGE in at.passed or at.proof not in {"yes", "later"} or not at.repair:
        return None
    chain = looked_for(talk, at)
    noted = [each.entry.event for each in at.case.entries]
    found = [cause for cause in chain if at.said(found_finding(talk.subject, cause)) == "yes"]
    there = [cause for cause in found if left_for_later(talk, cause) not in noted]
    if there:
        return _there(talk, there[0])
    left = [cause for cause in chain if not at.settled(found_finding(talk.subject, cause))]
    return _look(talk, at, left) if left else None


def left_for_later(talk: Talk, cause: str) -> Watch:
    """Return the line of the sheet about a cause that was found and is not mended today."""
    return Watch(f"Found, and not mended yet: {talk.subject.title(cause)}")


def looked_for(talk: Talk, at: Progress) -> list[str]:
    """Return the neighbours of what was mended that can be seen here."""
    return [cause for cause in near(talk, at) if _visible(talk, at, cause)][:MOST]


def near(talk: Talk, at: Progress) -> list[str]:
    """Return the neighbours of what the last repair mended, whether they can be seen or not."""
    mended = _mended(talk, at)
    found = [cause for each in mended for cause in neighbours(talk, each)]
    return [cause for cause in dict.fromkeys(found) if cause not in mended]


def _mended(talk: Talk, at: Progress) -> list[str]:
    """What was mended: as it was seen, else the likeliest."""
    number = len(at.evidence.rounds) - 2
    said = at.evidence.rounds[number].answers
    seen = [talk.finding(a.finding).found_cause for a in said if a.answer == "yes"]
    known = [cause for cause in seen if cause]
    likely = mended_by(talk, at.evidence, number, at.repair)[:1]
    return known or [cause.id for cause in likely]


def _visible(talk: Talk, at: Progress, cause: str) -> bool:
    found = found_finding(talk.subject, cause)
    return bool(found) and talk.askable(at, found)


def _look(talk: Talk, at: Progress, left: list[str]) -> Turn:
    found = found_finding(talk.subject, left[0])
    turn = question(talk, at, found, f"Faults come in chains, {len(left)} to go")
    note = Line("note", "Before you close: look one link back and one link forward.")
    skip = Reply("s", "skip these", Passed(STAGE))
    not_seen = [r if r.key != "?" else Reply("?", "not looked at", r.event) for r in turn.replies]
    return replace(turn, kind="chain", lines=(note, *turn.lines), replies=(*not_seen, skip))


def _there(talk: Talk, cause: str) -> Turn:
    repair = talk.subject.knowledge.causes[cause].repair
    replies = (
        Reply("y", "mend it now", StepBegun(repair)),
        Reply("n", "not today: it goes into the report", left_for_later(talk, cause)),
    )
    title = f"Found: {talk.subject.title(cause)}"
    work = talk.subject.knowledge.repairs[repair].title
    line = Line("say", f"Its repair: {work}.")
    return Turn("chain", "One more link of the chain", title, (line,), replies)
