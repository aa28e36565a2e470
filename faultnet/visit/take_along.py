"""What to take along: tools, parts, water, and a second pair of hands."""

from collections.abc import Container, Iterable

from faultnet.advice.outfit import Need, Outfitting
from faultnet.cases.events import Passed
from faultnet.inference.engine import ImpossibleEvidenceError, TooLargeError
from faultnet.model.check import Work
from faultnet.model.in_words import plain
from faultnet.visit.progress import Progress
from faultnet.visit.steps import work_of
from faultnet.visit.talk import Talk
from faultnet.visit.turn import BACK, ENTER, Line, Reply, Turn

STAGE = "take-along"
SHOWN = 7
"""Parts and tools named; the others are seldom needed."""

LEAST = 0.08
"""Parts that are needed less often are not named (judgement)."""

STEPS = 3
"""Steps of the advice whose tools and set-ups are counted in full."""

LIST = Reply("g", "what to take along", view="take-along")


def asked(talk: Talk, at: Progress) -> Turn | None:
    """Return the list once, when it is known what is wrong and before the first step."""
    if STAGE in at.passed or at.speaker != "technician" or at.step or at.done or at.repair:
        return None
    go_on = Reply(ENTER, "all of it is here, go on", Passed(STAGE))
    return _turn(talk, at, go_on)


def shown(talk: Talk, at: Progress) -> Turn:
    """Return the list to look at."""
    return _turn(talk, at, BACK)


def lines(talk: Talk, at: Progress) -> tuple[Line, ...]:
    """Return the list: what the next steps take, and what the repairs probably take."""
    steps = talk.counsel.advice(at.evidence).steps[:STEPS]
    works = [work for step in steps if (work := work_of(talk, step.id))]
    named = dict.fromkeys(name for work in works for name in work.procedures)
    likely, later = talk.counsel.once("take-along", at.evidence, lambda: _probable(talk, at, named))
    told = [
        _named("Tools for the first steps", dict.fromkeys(t for w in works for t in w.tools)),
        *likely,
        _hands(talk, works),
    ]
    known = talk.subject.knowledge.procedures
    bring = dict.fromkeys(text for name in named for text in known[name].bring)
    return (
        *(Line("say", text) for text in told if text),
        *(Line("item", text) for text in bring),
        *(Line("item", text) for text in later),
    )


def _turn(talk: Talk, at: Progress, go_on: Reply) -> Turn:
    body = lines(talk, at)
    nothing = (Line("say", "Nothing beyond what is always with you."),)
    title = "Have this with you before you begin"
    return Turn("take-along", "Take along", title, body or nothing, (go_on,))


def _probable(talk: Talk, at: Progress, named: Container[str]) -> tuple[list[str], list[str]]:
    """The parts and tools of repairs, and what their procedures take, with their chances."""
    outfit = Outfitting(talk.subject, at.evidence, least=LEAST)
    try:
        told = [_chances("Parts", outfit.parts), _chances("Tools for the repair", outfit.tools)]
        needs = [need for need in outfit.procedures if need.id not in named]
    except (ImpossibleEvidenceError, TooLargeError):
        return [], []
    known = talk.subject.knowledge.procedures
    later = [
        f"{known[need.id].title} ({need.probability:.0%}): {text}"
        for need in needs
        for text in known[need.id].bring[:1]
    ]
    return told, later


def _chances(what: str, needs: tuple[Need, ...]) -> str:
    told = ", ".join(f"{plain(need.id)} {need.probability:.0%}" for need in needs[:SHOWN])
    return f"{what}, with the chance that each is needed: {told}." if told else ""


def _named(what: str, names: Iterable[str]) -> str:
    told = ", ".join(plain(name) for name in names)
    return f"{what}: {told}." if told else ""


def _hands(talk: Talk, works: list[Work]) -> str:
    """Whether the first steps take more than one person."""
    known = talk.subject.knowledge.set_ups
    wanted = [known[s] for work in works for s, on in work.set_ups.items() if on and s in known]
    more = {each.title: each.hands.value for each in wanted if each.hands.value > 1}
    told = "; ".join(f"{title.lower()}: {hands:.0f}" for title, hands in more.items())
    return f"A second pair of hands. {told[0].upper()}{told[1:]} people." if told else ""
