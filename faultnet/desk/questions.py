"""What is asked next on the phone: what gains most for a minute of talk, and when to stop.

The usual call is to take two minutes of talk. Until then a question is asked when it gains
more than it takes, for the trip or for whoever drives; later only when it gains that much
for what can be done before the trip.
"""

from collections.abc import Iterator

from msgspec.structs import replace

from faultnet.advice.candidates import Candidate
from faultnet.cases.events import Passed, StepSkipped
from faultnet.desk.by_phone import untried
from faultnet.desk.danger import ENOUGH
from faultnet.desk.desk import Desk
from faultnet.desk.need import at_the_pump
from faultnet.desk.worth import Asking, Worth
from faultnet.model.check import Check
from faultnet.visit.progress import Progress, wrong
from faultnet.visit.question import question
from faultnet.visit.steps import duration, finish
from faultnet.visit.told import title_of
from faultnet.visit.turn import Line, Reply, Turn, lines

TALK = 2.0
"""Minutes of talk that the usual call is to take."""

OPENING = 1.0
"""Minutes of danger, need, reach and the caller's own words; judgement, ten seconds each."""

ANYWHERE = "anywhere"
"""The place of a check that is nothing but questions."""

_ENOUGH = Reply("e", "enough asked", Passed(ENOUGH))


def asked(desk: Desk, at: Progress) -> Turn | None:
    """Return the next question or look, unless none is worth its minutes."""
    if ENOUGH in at.passed:
        return None
    best = next_asking(desk, at)
    if best is None:
        return None
    check = best.candidate.check
    if check.work.place == ANYWHERE:
        (about,) = (*best.candidate.findings, *best.candidate.roots)
        turn = question(desk, at, about, title_of(desk.subject, about))
        return replace(turn, replies=(*turn.replies, _ENOUGH))
    return _look(check)


def next_asking(desk: Desk, at: Progress) -> Asking | None:
    """Return what is asked next; nothing when it would gain less than a minute of talk."""
    worth = worth_of(desk, at)
    late = spent(desk, at) >= TALK
    askings = worth.askings(_candidates(desk, at, worth))
    found = [each for each in askings if each.gains(ahead_only=late)]
    return max(found, key=lambda each: each.rate, default=None)


def worth_of(desk: Desk, at: Progress) -> Worth:
    """Return what questions are worth now; raise ``ConflictError`` and ``TooLargeError``."""
    phone = untried(desk, at)

    def made() -> Worth:
        return Worth(desk.subject, at.evidence, desk.sent[0].load, phone)

    return desk.counsel.once(f"worth {' '.join(sorted(phone))}", at.evidence, made)


def spent(desk: Desk, at: Progress) -> float:
    """Return the minutes of talk so far, by what the questions are priced at."""
    done = {about for name in at.done for about in desk.subject.knowledge.checks[name].reveals}
    told = {answer.finding for answer in at.now.answers} | set(at.evidence.circumstances)
    asked_about = (told | at.unknown) - done - at.denied
    shares = {about: share(c) for c in _checks(desk) for about in c.reveals if _asks(c)}
    minutes = sum(shares.get(about, 0.0) for about in asked_about)
    return OPENING + minutes + sum(_minutes(desk, name) for name in at.done)


def share(check: Check) -> float:
    """Return the minutes of one question of a check that is nothing but questions."""
    return check.work.minutes.value / len(check.reveals)


def _candidates(desk: Desk, at: Progress, worth: Worth) -> Iterator[tuple[Candidate, float]]:
    """Yield questions one by one and looks as a whole, each with its minutes."""
    for each in worth.situation.possible:
        check = each.check
        findings = tuple(f for f in each.findings if _open(desk, at, f))
        roots = tuple(r for r in each.roots if not at.settled(r))
        if _asks(check):
            # Once one of them was told, its neighbours are for whoever drives.
            told = any(wrong(desk.finding(f), at.said(f)) for f in check.reveals if _is(desk, f))
            yield from ((Candidate(check, (f,), ()), share(check)) for f in findings if not told)
            yield from ((Candidate(check, (), (r,)), share(check)) for r in roots)
        elif (findings or roots) and check.id not in (*at.done, *at.put_off) and at_the_pump(at):
            yield Candidate(check, findings, roots), worth.situation.price(each)


def _is(desk: Desk, about: str) -> bool:
    return about in desk.subject.findings


def _open(desk: Desk, at: Progress, finding: str) -> bool:
    entry = desk.finding(finding)
    fit = bool(entry.ask_caller or entry.found_cause) and finding not in at.denied
    return fit and not at.settled(finding) and desk.askable(at, finding)


def _look(check: Check) -> Turn:
    """Return what the caller is asked to look at, word by word."""
    work = check.work
    body = (
        Line("say", duration(work.minutes.value, work.waiting.value, 0.0)),
        *lines("caution", work.cautions),
        *lines("do", work.steps),
    )
    skip = Reply("s", "they cannot: leave it", StepSkipped(check.id))
    replies = (*finish(check.id, repair=False), skip, _ENOUGH)
    return Turn("do", "Have the caller look, and read it out", check.title, body, replies)


def _checks(desk: Desk) -> list[Check]:
    return [c for c in desk.subject.knowledge.checks.values() if c.work.who == "caller"]


def _asks(check: Check) -> bool:
    return check.work.place == ANYWHERE


def _minutes(desk: Desk, name: str) -> float:
    work = desk.subject.knowledge.checks[name].work
    return work.minutes.value if work.who == "caller" else 0.0
