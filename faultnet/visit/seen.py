"""What is seen and heard: picked from a short list, or found by typed words."""

from faultnet.cases.events import AnyEvent, Passed, Picked
from faultnet.visit.progress import Progress, wrong
from faultnet.visit.search import system_index
from faultnet.visit.talk import Talk
from faultnet.visit.told import title_of
from faultnet.visit.turn import Line, Reply, Turn, Typed, numbered

STAGE = "seen"
SHOWN = 8
"""Findings in the list at a time."""

STRONG = 0.5
"""How often a finding must follow from another to tell nothing new."""


def asked(talk: Talk, at: Progress) -> Turn | None:
    """Return the list of what may be seen, unless that is over."""
    return None if STAGE in at.passed else listed(talk, at, 0)


def listed(talk: Talk, at: Progress, start: int) -> Turn:
    """Return a stretch of the list; what tells most, given what is known, comes first."""
    order = by_use(talk, at)
    start = start if start < len(order) else 0
    labels: dict[str, AnyEvent] = {
        talk.finding(f).title: Picked(f) for f in order[start : start + SHOWN]
    }
    told = [title_of(talk.subject, f) for f in at.complaints if _told_wrong(talk, at, f)]
    replies = list(numbered(labels))
    if len(order) > SHOWN:
        after = start + SHOWN if start + SHOWN < len(order) else 0
        replies.append(Reply("m", "more", view=f"seen:{after}"))
    replies.append(Reply("", "that is all" if told else "nothing to tell", Passed(STAGE)))
    if not told:
        replies.append(Reply("?", "don't know", Passed(STAGE)))
    title = "What did the proof show?" if at.proof == "no" else "What is wrong? Pick one."
    heading = f"So far: {'; '.join(told)}" if told else "What is seen and heard"
    lines = (Line("note", "One after the other; the list changes with what you say."),)
    return Turn("seen", heading, title, () if told else lines, tuple(replies))


def by_use(talk: Talk, at: Progress) -> list[str]:
    """Return findings worth asking about: what the house can tell before what a look tells.

    What mostly follows from something told already comes last.
    """
    tells = talk.counsel.tells(at.evidence)
    open_ = [
        f
        for f in talk.subject.findings
        if not talk.finding(f).found_cause and not at.settled(f) and talk.askable(at, f)
    ]

    def place(finding: str) -> tuple[bool, bool, float, str]:
        entry = talk.finding(finding)
        told = any(
            _told_wrong(talk, at, rule.finding)
            for rule in entry.follows_from
            if sum(number.value for number in rule.strength) > STRONG
        )
        return not entry.ask_caller, told, -tells[finding], finding

    return sorted(open_, key=place)


def _told_wrong(talk: Talk, at: Progress, finding: str) -> bool:
    return wrong(talk.finding(finding), at.said(finding))


def search_turn() -> Turn:
    """Return the turn that asks for words."""
    return Turn(
        "search",
        "What is seen and heard",
        "Tell it in a few words.",
        (Line("note", "For example: spits air; runs all night; dead in the morning."),),
        (Reply("b", "back", view="back"),),
        typed=Typed("search", "Words:"),
    )


def found_turn(talk: Talk, at: Progress, words: str) -> Turn:
    """Return what was found for typed words."""
    found = system_index(talk.subject).find(words)
    kept = [f for f in found if f not in talk.subject.findings or talk.askable(at, f)][:SHOWN]
    again = (Reply("t", "other words", view="search"), Reply("", "back", view="back"))
    if not kept:
        nothing = f"Nothing here sounds like: {words.strip()[:60]}"
        return Turn("found", "What is seen and heard", nothing, (), again)
    labels: dict[str, AnyEvent] = {title_of(talk.subject, f): Picked(f) for f in kept}
    heading = f"For: {words.strip()[:60]}"
    return Turn("found", heading, "Which is it?", (), (*numbered(labels), *again))
