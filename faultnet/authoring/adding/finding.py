"""The questions for a new finding, and for a new check."""

from msgspec.structs import replace

from faultnet.authoring.adding import ask
from faultnet.authoring.adding.at_hand import AtHand
from faultnet.authoring.adding.case import About, case
from faultnet.authoring.adding.cause import MOST_REVEALED, OFTEN
from faultnet.authoring.adding.named import begun, part_of, provenance
from faultnet.authoring.adding.question import Asking, Entry, Option, Question, Walk
from faultnet.authoring.adding.work import new_check
from faultnet.authoring.forms.finding import TWO_ANSWERS
from faultnet.authoring.node import Value


def finding(at: AtHand) -> Walk[Entry | None]:
    """Ask for a finding and what belongs to it; return the answers, or None to stop."""
    answers = yield from begun(at, "A new finding", "findings")
    if answers is None:
        return None
    heading = f"A new finding: {answers['title']}"
    wanted = ("ask", "ask-caller", "answers")
    asked = yield from ask.keys(at, heading, "findings", wanted)
    answers |= asked
    names = asked.get("answers")
    said = tuple(map(str, names)) if isinstance(names, list) else TWO_ANSWERS
    anyway = at.told_of("findings", "shows-anyway")
    no_cause = Question(heading, "How often does it show with no cause at all?", (anyway,))
    answers["shows-anyway"] = yield from ask.strength(at, no_cause, said)
    answers["from"] = yield from provenance(at, heading)
    only = Question(heading, "Which layout does it need?", (at.told_of("findings", "only-when"),))
    answers["only-when"] = yield from ask.when(at, only)
    more = yield from ask.keys(at, heading, "findings", ("words",))
    answers |= more
    answers["shown-by"] = yield from _shown_by(at, heading, said)
    answers["revealed-by"] = yield from _revealed_by(at, heading)
    answers["cases"] = yield from _case(at, heading, answers, said)
    return {key: value for key, value in answers.items() if value not in (None, {}, [])}


def check(at: AtHand) -> Walk[Entry | None]:
    """Ask for a check and what it tells; return the answers, or None to stop."""
    where = yield from part_of(at, "A new check")
    entry = yield from new_check(at, str(where))
    if entry is None:
        return None
    heading = f"A new check: {entry['title']}"
    reveals: list[Value] = []
    while len(reveals) < MOST_REVEALED:
        why = (at.told_of("checks", "reveals"), *(f"So far: {name}" for name in reveals))
        enter = ask.NO_MORE if reveals else ""
        question = Question(heading, "Which finding does it answer?", why, enter=enter)
        left = [name for name in at.titles("findings") if name not in reveals]
        name = yield from ask.found(at, question, "findings", left)
        if name is None:
            break
        reveals.append(name)
    head = {"id": entry.pop("id"), "title": entry.pop("title")}
    return {"part": where, **head, "reveals": reveals, **entry}


def _shown_by(at: AtHand, heading: str, answers: tuple[str, ...]) -> Walk[Entry]:
    told: Entry = {}
    while True:
        why = ("The causes that produce it; without one it means nothing.",)
        so_far = tuple(f"So far: {name}" for name in told)
        enter = ask.NO_MORE if told else ""
        question = Question(heading, "Which cause produces it?", (*why, *so_far), enter=enter)
        left = [name for name in at.titles("causes") if name not in told]
        cause = yield from ask.found(at, question, "causes", left)
        if cause is None:
            return told
        title = f"How often: {at.titles('causes')[str(cause)]}?"
        often = Question(heading, title, (OFTEN,))
        told[str(cause)] = yield from ask.strength(at, often, answers)


def _case(at: AtHand, heading: str, answers: Entry, said: tuple[str, ...]) -> Asking:
    """Ask for a case in which it was seen; it expects one of the causes that produce it."""
    causes = answers["shown-by"]
    names = list(causes) if isinstance(causes, dict) else []
    expected: Value = names[0]
    if len(names) > 1:
        options = tuple(Option(at.knowledge.causes[name].title, name) for name in names)
        why = ("For a case: which of them a case with this finding should expect.",)
        expected = yield Question(heading, "Which cause is it, when it is seen?", why, options)
    cause = at.knowledge.causes[str(expected)]
    seen = {str(answers["id"]): (str(answers["title"]), said)}
    layout: Entry = {name: list(values) for name, values in cause.only_when.items()}
    return (yield from case(at, heading, About(str(answers["part"]), cause.id, seen, layout)))


def _revealed_by(at: AtHand, heading: str) -> Asking:
    why = ("The check by which a technician takes it.", at.told_of("checks", "reveals"))
    options = (Option("one that is there already", "there"), Option("none yet", ""))
    question = Question(heading, "Which check answers it?", why, options)
    if not (yield question):
        return []
    room = [c.id for c in at.knowledge.checks.values() if len(c.reveals) < MOST_REVEALED]
    search = replace(question, options=(), enter="none yet")
    name = yield from ask.found(at, search, "checks", room)
    return [] if name is None else [name]
