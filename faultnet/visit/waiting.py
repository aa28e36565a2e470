"""Something to look at during a wait."""

from faultnet.cases.events import Picked
from faultnet.model.check import Check, Work
from faultnet.visit.progress import Progress
from faultnet.visit.talk import Talk
from faultnet.visit.turn import Line, Reply

WORTH = 2.0
"""Minutes of waiting from which on a look is offered (judgement)."""

LOOKS = 3
"""Looks named at most."""


def meanwhile(talk: Talk, at: Progress, work: Work) -> tuple[tuple[Line, ...], tuple[Reply, ...]]:
    """Return what can be looked at while a step waits, and the reply that tells it."""
    if work.waiting.value < WORTH:
        return (), ()
    looks = _looks(talk, at, work)
    if not looks:
        return (), ()
    titles = "; ".join(f"{each.title.lower()} ({each.work.minutes.value:g} min)" for each in looks)
    line = Line("say", f"While you wait, {work.waiting.value:g} min: {titles}.")
    first = _open(talk, at, looks[0])[0]
    return (line,), (Reply("a", f"tell: {looks[0].title.lower()}", Picked(first)),)


def _looks(talk: Talk, at: Progress, work: Work) -> list[Check]:
    """Checks that fit into the wait and disturb nothing, what tells most first."""
    tells = talk.counsel.tells(at.evidence)
    fitting = [
        check
        for check in talk.subject.knowledge.checks.values()
        if check.id != at.step and check.id not in at.done and _fits(check.work, work)
    ]
    worth = {c.id: sum(tells.get(f, 0.0) for f in _open(talk, at, c)) for c in fitting}
    found = [check for check in fitting if _open(talk, at, check)]
    return sorted(found, key=lambda c: (-worth[c.id], c.id))[:LOOKS]


def _fits(look: Work, work: Work) -> bool:
    """Whether a look fits beside work that waits: nothing is opened, moved or switched."""
    quick = look.minutes.value + look.waiting.value <= work.waiting.value
    disturbs = look.opens != "nothing" or look.valves or look.set_ups
    anybody = look.who in {"caller", "technician"}
    return quick and anybody and not disturbs and look.power == "as-found"


def _open(talk: Talk, at: Progress, check: Check) -> list[str]:
    """Findings of a check that are not known yet and can show here."""
    return [
        f
        for f in check.reveals
        if f in talk.subject.findings and not at.settled(f) and talk.askable(at, f)
    ]
