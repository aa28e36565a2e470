"""After a repair: what had been wrong, as it was seen while it was mended."""

from faultnet.cases.events import AnyEvent, Confirmed
from faultnet.cases.fits import found_finding
from faultnet.visit.progress import Progress
from faultnet.visit.talk import Talk
from faultnet.visit.told import title_of
from faultnet.visit.turn import BACK, Line, Reply, Turn, Typed, numbered

SHOWN = 8
"""Other causes that are listed at a time."""


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


def something_else(talk: Talk, at: Progress, which: str) -> Turn:
    """Return the turn that asks which other cause it was; the likeliest come first.

    ``which`` is ``round``, or ``round:begin`` further down the list.
    """
    round_, _, begin = which.partition(":")
    number, start = int(round_), int(begin or 0)
    mended = _mended(talk, at.evidence.rounds[number].repairs)
    ranked = talk.counsel.ranking(at.evidence).causes
    others = [c.id for c in ranked if c.id not in mended and found_finding(talk.subject, c.id)]
    more = start + SHOWN
    labels: dict[str, AnyEvent] = {
        talk.subject.title(cause): Confirmed(cause, number) for cause in others[start:more]
    }
    further = Reply("m", "more", view=f"else:{number}:{more if more < len(others) else 0}")
    none = Reply("n", "it is in no list", view=f"else-words:{number}")
    ways = (*((further,) if len(others) > SHOWN else ()), none, BACK)
    title = "What was seen to be wrong?"
    return Turn("what-was-wrong", "Something else", title, (), (*numbered(labels), *ways))


def in_words(number: int) -> Turn:
    """Return the turn that takes in words what was seen and is not in the files."""
    typed = Typed(f"else:{number}", "A few words:")
    note = Line("note", "What it was helps to find it the next time. No names, no addresses.")
    wordless = Reply("n", "no words for it", told_in_words(number, ""))
    title = "What was it?"
    return Turn("what-was-wrong", "Not in the files", title, (note,), (wordless,), typed=typed)


def told_in_words(number: int, text: str) -> Confirmed:
    """Return that something was seen which the files do not hold."""
    return Confirmed("", number, unlisted=True, text=text)


def _mended(talk: Talk, repairs: tuple[str, ...]) -> list[str]:
    """The causes that repairs mend, as far as they can be seen."""
    causes = talk.subject.network.causes
    ids = [causes[k].id for r in repairs for k in talk.subject.mended_by.get(r, ())]
    return [cause for cause in dict.fromkeys(ids) if found_finding(talk.subject, cause)]


def _seen(talk: Talk, at: Progress, number: int, causes: list[str]) -> bool:
    """Whether one of the causes was found by looking before it was mended."""
    said = at.evidence.rounds[number].answers
    return any(talk.finding(a.finding).found_cause in causes and a.answer == "yes" for a in said)
