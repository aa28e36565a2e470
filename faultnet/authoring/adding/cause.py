"""The questions for a new cause."""

from msgspec.structs import replace

from faultnet.authoring.adding import ask
from faultnet.authoring.adding.at_hand import AtHand
from faultnet.authoring.adding.case import About, case
from faultnet.authoring.adding.named import begun, provenance
from faultnet.authoring.adding.question import Asking, Entry, Option, Question, Walk
from faultnet.authoring.adding.work import new_check, new_repair
from faultnet.authoring.node import Value
from faultnet.authoring.number import LIKELIHOOD

OFTEN = "How often the cause alone brings it, when the cause is there."
THERE, NEW, NONE = "there", "new", "none"
MOST_REVEALED = 5
"""What a check can reveal and look for together."""


def cause(at: AtHand) -> Walk[Entry | None]:
    """Ask for a cause and what belongs to it; return the answers, or None to stop."""
    answers = yield from begun(at, "A new cause", "causes")
    if answers is None:
        return None
    part, name = str(answers["part"]), str(answers["id"])
    heading = f"A new cause: {answers['title']}"
    answers["how-common"] = yield from ask.key(at, heading, "causes", "how-common")
    answers["from"] = yield from provenance(at, heading)
    shown = yield from shows(at, heading)
    answers["shows"] = shown
    only = Question(heading, "Which layout does it need?", (at.told_of("causes", "only-when"),))
    answers["only-when"] = yield from ask.when(at, only)
    answers |= yield from _repair(at, heading, part)
    answers |= yield from _look(at, heading, part, name)
    answers["note"] = yield from ask.key(at, heading, "causes", "note")
    known = at.knowledge.findings
    seen = {each: (known[each].title, known[each].answers) for each in shown}
    about = About(part, name, seen, answers["only-when"])
    answers["cases"] = yield from case(at, heading, about)
    return {key: value for key, value in answers.items() if value not in (None, {}, [])}


def shows(at: AtHand, heading: str) -> Walk[Entry]:
    """Ask for the findings that a cause produces, each with how often."""
    told: Entry = {}
    while True:
        so_far = (f"So far: {name} ({_worth(often)})" for name, often in told.items())
        why = (at.told_of("causes", "shows"), *so_far)
        title = "What else does it produce?" if told else "What does it produce?"
        question = Question(heading, title, why, enter=ask.NO_MORE)
        left = [name for name in at.titles("findings") if name not in told]
        finding = yield from ask.found(at, question, "findings", left)
        if finding is None:
            return told
        name = str(finding)
        asked = at.knowledge.findings[name]
        often = Question(heading, f"How often: {asked.title}?", (OFTEN,))
        told[name] = yield from ask.strength(at, often, asked.answers)


def _worth(often: Value) -> str:
    if isinstance(often, dict):
        return ", ".join(f"{answer} {value}" for answer, value in often.items())
    return str(often)


def _repair(at: AtHand, heading: str, part: str) -> Walk[Entry]:
    options = (Option("one that is there already", THERE), Option("a new one", NEW))
    question = Question(
        heading, "Which repair ends it?", (at.told_of("causes", "repair"),), options
    )
    while True:
        if (yield question) == NEW:
            return (yield from new_repair(at, part))
        search = replace(question, options=(), enter="back to the choice")
        repair = yield from ask.found(at, search, "repairs")
        if repair is not None:
            return {"repair": repair}


def _look(at: AtHand, heading: str, part: str, name: str) -> Walk[Entry]:
    why = (
        "With such a check the cause can be settled with the eyes.",
        at.told_of("checks", "looks-for"),
    )
    options = (
        Option("yes, a check that is there already", THERE),
        Option("yes, a new check", NEW),
        Option("no: nothing shows it outright", NONE),
    )
    question = Question(heading, "Is there a check that shows it outright?", why, options)
    while True:
        chosen = yield question
        if chosen == NONE:
            return {}
        if chosen == NEW:
            made = yield from new_check(at, part)
            if made is None:
                continue
            often = yield from _often(at, heading)
            new = str(made.pop("id"))
            return {
                "checks": {new: {"title": made.pop("title"), "looks-for": {name: often}, **made}}
            }
        room = [c.id for c in at.knowledge.checks.values() if len(c.reveals) < MOST_REVEALED]
        search = replace(question, options=(), enter="back to the choice")
        check = yield from ask.found(at, search, "checks", room)
        if check is not None:
            return {"looked-for-by": {str(check): (yield from _often(at, heading))}}


def _often(at: AtHand, heading: str) -> Asking:
    why = (at.told_of("checks", "looks-for"),)
    question = Question(heading, "How often does the check show it, when it is there?", why)
    return (yield from ask.number(at, question, LIKELIHOOD))
