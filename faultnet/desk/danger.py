"""Danger comes first on the phone as well: three questions, then what to say and whom to send.

The three are those that a dispatcher asks at once (common practice): current and fire, water
with current or heat or too much pressure, and people at the cistern.
"""

from msgspec.structs import replace

from faultnet.advice.dangers import FULL
from faultnet.cases.events import Denied, Passed, Told
from faultnet.model.finding import Finding
from faultnet.visit import dangers
from faultnet.visit.progress import Progress
from faultnet.visit.question import question
from faultnet.visit.talk import Talk
from faultnet.visit.turn import KEYS, Line, Reply, Turn

ENOUGH = "call-questions"
"""The stretch of a call in which it is asked what is wrong."""

OTHERS = "others"
ASKED = {
    ("tingle", "burnt-smell"): "Any shock or tingle, any smoke or burnt smell?",
    (OTHERS,): "Water near wires, a hot pump, too much pressure, a pump that never stops?",
    ("someone-in-cistern",): "Is anybody in the cistern, at its open hatch, or about to go there?",
}
"""The findings that are asked about together; every other danger is in the one in the middle."""


def stopped(talk: Talk, at: Progress) -> Turn | None:
    """Return what to say and whom to send while a danger is open and the call goes on."""
    turn = dangers.stopped(talk, at)
    if turn is None or ENOUGH in at.passed:
        return None
    enough = Reply("e", "said so: ask nothing more, only where they are", Passed(ENOUGH))
    return replace(turn, lines=_read_out(turn.lines), replies=(*turn.replies, enough))


def asked(talk: Talk, at: Progress) -> Turn | None:
    """Return the next of the three questions."""
    if ENOUGH in at.passed:
        return None
    for number, (group, title) in enumerate(_groups(talk, at).items(), 1):
        left = [f for f in group if not _known(at, f)]
        if not left:
            continue
        heading = f"Danger first, question {number} of {len(ASKED)}"
        if _stage(number) in at.passed:
            return question(talk, at, left[0], f"{heading}, {len(left)} to go")
        return _together(talk, left, Turn("dangers", heading, title), number)
    return None


def denied(talk: Talk, at: Progress) -> bool:
    """Whether every danger that could be here has been denied, none left open."""
    return all(denied_one(talk, at, f) for f in _dangers(talk, at))


def denied_one(talk: Talk, at: Progress, finding: str) -> bool:
    """Whether one danger has been denied in this round."""
    return finding in at.denied or at.said(finding) in {"no", talk.finding(finding).normal}


def _together(talk: Talk, left: list[str], turn: Turn, number: int) -> Turn:
    lines = (Line("note", "Read it out. One yes is enough; nobody goes to look or to try."),)
    replies = [
        Reply(key, talk.finding(f).title, Told(f, talk.finding(f).dangers[0].answer))
        for key, f in zip(KEYS.replace("n", ""), left, strict=False)
    ]
    none = Reply("n", "none of these", Denied(tuple(left)))
    one_by_one = Reply("?", "not sure: ask one by one", Passed(_stage(number)))
    return replace(turn, lines=lines, replies=(*replies, none, one_by_one))


def _groups(talk: Talk, at: Progress) -> dict[tuple[str, ...], str]:
    """The questions, each with the dangers that it asks about."""
    named = {finding for group in ASKED for finding in group}
    here = _dangers(talk, at)
    found = {}
    for group, title in ASKED.items():
        others = OTHERS in group
        found[tuple(f for f in here if f in group or (others and f not in named))] = title
    return found


def _dangers(talk: Talk, at: Progress) -> list[str]:
    known = talk.subject.knowledge.findings
    entries: list[Finding] = [known[name] for name in talk.subject.findings]
    entries.sort(key=lambda entry: not any(d.stop == FULL for d in entry.dangers))
    return [e.id for e in entries if e.dangers and talk.fits(at, e.only_when)]


def _known(at: Progress, finding: str) -> bool:
    told = {a.finding for round_ in at.evidence.rounds for a in round_.answers}
    return finding in told | at.unknown | at.denied


def _stage(number: int) -> str:
    return f"call-danger-{number}"


def _read_out(lines: tuple[Line, ...]) -> tuple[Line, ...]:
    return (Line("note", "Read it out, slowly, and have it said back:"), *lines)
