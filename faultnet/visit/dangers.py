"""Danger comes first: it is asked before anything else, and stops everything."""

from msgspec.structs import replace

from faultnet.advice.dangers import FULL, DangerMet, dangers_met
from faultnet.cases import events
from faultnet.cases.events import Denied, MadeSafe, Passed, Told
from faultnet.visit.progress import Progress
from faultnet.visit.question import question
from faultnet.visit.talk import Talk
from faultnet.visit.turn import KEYS, Line, Reply, Turn, Typed

HEADING = "Danger first"
SAFE = "safe"
"""The word that says a full stop has been dealt with; typed, so that no slip does it."""


def stopped(talk: Talk, at: Progress) -> Turn | None:
    """Return the turn that stops everything while a danger is not dealt with."""
    met = [d for d in dangers_met(talk.subject, at.evidence) if not d.made_safe]
    return _stop(talk, met[0]) if met else None


def _stop(talk: Talk, danger: DangerMet) -> Turn:
    lines = (
        Line("danger", danger.say),
        Line("say", f"Send for: {danger.send}"),
    )
    title = talk.finding(danger.finding).title
    if danger.stop == FULL:
        typed = Typed(f"safe:{danger.finding}", f"Nothing goes on until you type {SAFE}:")
        return Turn("danger", "STOP", title, lines, typed=typed)
    made = Reply("y", "that is done, it is safe now", MadeSafe(danger.finding))
    return Turn("danger", "STOP: make safe", title, lines, (made,))


def to_note(talk: Talk, at: Progress) -> events.DangerMet | None:
    """Return the danger that stops everything, unless it was noted in this round."""
    met = [d for d in dangers_met(talk.subject, at.evidence) if not d.made_safe]
    if not met or met[0].finding in at.met:
        return None
    return events.DangerMet(met[0].finding, met[0].answer)


def unsafe_turn(turn: Turn) -> Turn:
    """Return the stop again after something else was typed."""
    note = Line("note", f"Only the word {SAFE} goes on, and only when it is.")
    return replace(turn, lines=(*turn.lines, note))


def asked(talk: Talk, at: Progress) -> Turn | None:
    """Return the questions about dangers: all in one list, or one at a time."""
    if "dangers" in at.passed:
        return None
    said = [answer for round_ in at.evidence.rounds for answer in round_.answers]
    told = {a.finding for a in said if a.speaker in {at.speaker, "technician"}}
    known = told | at.unknown | (at.denied if at.speaker == "caller" else set())
    left = [f for f in _full_stops(talk, at) if f not in known]
    if not left:
        return None
    if "danger-list" in at.passed:
        return question(talk, at, left[0], f"{HEADING}, {len(left)} to go")
    replies = [
        Reply(key, talk.finding(f).title, Told(f, _danger_answer(talk, f)))
        for key, f in zip(KEYS, left, strict=False)
    ]
    none = Reply("n", "none of these, I have looked", Denied(tuple(left)))
    each = Reply("?", "not sure: ask me one by one", Passed("danger-list"))
    lines = (Line("caution", "Look, listen and smell from the doorway. Touch nothing yet."),)
    return Turn(
        "dangers", HEADING, "Is any of this so, here and now?", lines, (*replies, none, each)
    )


def _full_stops(talk: Talk, at: Progress) -> list[str]:
    """Findings with a full stop; those that no fault makes come first."""
    network = talk.subject.network
    entries = [
        entry
        for entry in talk.subject.knowledge.findings.values()
        if entry.id in talk.subject.findings
        and any(d.stop == FULL for d in entry.dangers)
        and talk.fits(at, entry.only_when)
    ]
    entries.sort(key=lambda f: len(network.findings[talk.subject.findings[f.id]].links))
    return [entry.id for entry in entries]


def _danger_answer(talk: Talk, finding: str) -> str:
    return next(d.answer for d in talk.finding(finding).dangers if d.stop == FULL)
