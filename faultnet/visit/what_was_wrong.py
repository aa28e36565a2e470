"""After a repair: what had been wrong, as it was seen while it was mended."""

from faultnet.cases.events import AnyEvent, Confirmed
from faultnet.cases.fits import found_finding
from faultnet.visit.progress import Progress
from faultnet.visit.talk import Talk
from faultnet.visit.told import title_of
from faultnet.visit.turn import BACK, Reply, Turn, numbered

SHOWN = 8
"""Other causes that are listed."""


def asked(talk: Talk, at: Progress) -> Turn | None:
    """Return the question, unless it is known or was asked."""
    number = len(at.evidence.rounds) - 2
    if number < 0 or number in at.confirmed:
        return None
    repairs = at.evidence.rounds[number].repairs
    causes = _mended(talk, repairs)
    if not causes or _seen(talk, at, number, causes):
        return None
    labels: dict[str, AnyEvent] = {
        talk.subject.title(cause): Confirmed(cause, number) for cause in causes
    }
    other = Confirmed("", number)
    replies = (
        *numbered(labels),
        Reply("n", "something else was wrong", view=f"else:{number}"),
        Reply("?", "could not be seen", other),
    )
    heading = title_of(talk.subject, repairs[-1])
    return Turn("what-was-wrong", heading, "What had been wrong?", (), replies)


def something_else(talk: Talk, at: Progress, number: int) -> Turn:
    """Return the turn that asks which other cause it was; the likeliest come first."""
    mended = _mended(talk, at.evidence.rounds[number].repairs)
    ranked = talk.counsel.ranking(at.evidence).causes
    others = [c.id for c in ranked if c.id not in mended and found_finding(talk.subject, c.id)]
    labels: dict[str, AnyEvent] = {
        talk.subject.title(cause): Confirmed(cause, number) for cause in others[:SHOWN]
    }
    none = Reply("n", "none of these", Confirmed("", number))
    title = "What was seen to be wrong?"
    return Turn("what-was-wrong", "Something else", title, (), (*numbered(labels), none, BACK))


def _mended(talk: Talk, repairs: tuple[str, ...]) -> list[str]:
    """The causes that repairs mend, as far as they can be seen."""
    causes = talk.subject.network.causes
    ids = [causes[k].id for r in repairs for k in talk.subject.mended_by.get(r, ())]
    return [cause for cause in dict.fromkeys(ids) if found_finding(talk.subject, cause)]


def _seen(talk: Talk, at: Progress, number: int, causes: list[str]) -> bool:
    """Whether one of the causes was found by looking before it was mended."""
    said = at.evidence.rounds[number].answers
    return any(talk.finding(a.finding).found_cause in causes and a.answer == "yes" for a in said)
