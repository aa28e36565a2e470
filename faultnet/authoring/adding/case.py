"""The questions for a case beside a new cause or finding."""

import msgspec
from msgspec.structs import replace

from faultnet.authoring.adding import ask
from faultnet.authoring.adding.at_hand import AtHand
from faultnet.authoring.adding.question import Asking, Option, Question
from faultnet.authoring.kind import TEXT
from faultnet.authoring.naming import NAME
from faultnet.authoring.node import Value

_WHY = (
    "A case says what was seen, what should come out, and why somebody of the trade would say so."
    " `faultnet prove` runs it, so a later change cannot spoil it unseen."
)
_REASON = (
    "Write the reason before you look at what comes out.",
    "For example: The pump reaches cut-out, but the pressure is gone overnight.",
)


class About(msgspec.Struct, frozen=True):
    """What a case is written for: the part, the cause it expects, the layout that it needs.

    ``seen`` holds the findings asked for first, each with its title and answers.
    """

    part: str
    cause: str
    seen: dict[str, tuple[str, tuple[str, ...]]]
    layout: Value = None


def case(at: AtHand, heading: str, about: About) -> Asking:
    """Ask for a case that expects a cause; return a list of one, or of none."""
    systems = {
        name: each.title for name, each in at.knowledge.systems.items() if about.part in each.parts
    }
    options = (Option("yes", "now"), Option("no, later", ""))
    if not systems or not (yield Question(heading, "Write a case for it now?", (_WHY,), options)):
        return []
    cause = about.cause
    choices = tuple(Option(title, name) for name, title in systems.items())
    system = yield Question(heading, "In which system was it?", (), choices)
    why = Question(heading, "What is the reason?", _REASON)
    reason = yield from ask.typed(why, lambda text: at.text(TEXT, text))
    name = Question(
        heading, "What is the case called?", enter=f"{cause}-seen", enter_value=f"{cause}-seen"
    )
    written: dict[str, Value] = {
        "id": (yield from ask.typed(name, lambda text: at.text(NAME, text)))
    }
    written |= {"system": system, "reason": reason}
    layout = yield from _layout(heading, at, about.layout)
    if layout:
        written["layout"] = layout
    written["given"] = yield from _given(at, heading, about.seen)
    places = (Option("the likeliest of all", "first"), Option("one of the first three", "top-3"))
    place = yield Question(
        heading, "Where must the cause come out, with just that seen?", (), places
    )
    return [{**written, "expect": {str(place): [cause]}}]


def _layout(heading: str, at: AtHand, needed: Value) -> Asking:
    """Ask how the installation is laid out, as far as the cause depends on it."""
    layout: dict[str, Value] = {}
    for name, values in (needed if isinstance(needed, dict) else {}).items():
        titles = {each.id: each.title for each in at.knowledge.layouts[name].values}
        can = values if isinstance(values, list) else [values]
        if len(can) == 1:
            layout[name] = can[0]
            continue
        options = tuple(Option(titles[str(each)], each) for each in can)
        title = at.knowledge.layouts[name].title
        layout[name] = yield Question(heading, f"In this case: {title}", (), options)
    return layout


def _given(at: AtHand, heading: str, seen: dict[str, tuple[str, tuple[str, ...]]]) -> Asking:
    """Ask what was seen, first of what the cause produces, then of anything else."""
    given: dict[str, Value] = {}
    for name, (title, answers) in seen.items():
        why = ("What was not looked at is left out.",)
        value = yield from _answer(Question(heading, f"Was it seen? {title}", why), answers)
        if value is not None:
            given[name] = value
    while True:
        so_far = tuple(f"So far: {name} {value}" for name, value in given.items())
        enter = ask.NO_MORE if given else ""
        question = Question(heading, "What else was seen, or looked at?", so_far, enter=enter)
        left = [name for name in at.titles("findings") if name not in given]
        finding = yield from ask.found(at, question, "findings", left)
        if finding is None:
            return given
        other = at.knowledge.findings[str(finding)]
        value = yield from _answer(Question(heading, other.title), other.answers)
        if value is not None:
            given[str(finding)] = value


def _answer(question: Question, answers: tuple[str, ...]) -> Asking:
    options = tuple(Option(each.replace("-", " "), each) for each in answers)
    return (yield replace(question, options=options, enter="not looked at"))
