"""Questions for one key or one choice; each a part of a walk."""

from collections.abc import Callable, Iterable, Mapping
from functools import partial
from typing import Any

from msgspec.structs import replace

from faultnet.authoring.adding.asked import asked
from faultnet.authoring.adding.at_hand import AtHand
from faultnet.authoring.adding.question import Asking, Entry, Option, Question, UnfitError, Walk
from faultnet.authoring.collection import ListOf
from faultnet.authoring.form import Required
from faultnet.authoring.forms.finding import TWO_ANSWERS
from faultnet.authoring.forms.of_section import FORMS
from faultnet.authoring.kind import TEXT, Choice
from faultnet.authoring.node import Value
from faultnet.authoring.number import LIKELIHOOD, NumberKind
from faultnet.authoring.strength import StrengthKind

OWN = " a number of my own"
SHOWN = 8
"""Entries that are shown of those found by words."""
ALWAYS = "none: under any layout"
NO_MORE = "that is all"


def key(at: AtHand, heading: str, section: str, name: str) -> Asking:
    """Ask for one key of an entry; None where it is left out."""
    kind: Any = FORMS[section].keys[name].kind
    default = FORMS[section].keys[name].default
    title, example = asked(section, name)
    why = (at.told_of(section, name), *([f"For example: {example}"] if example else []))
    optional = not isinstance(default, Required)
    enter = "leave it out" if optional else ""
    question = Question(heading, title, why, enter=enter)
    if isinstance(kind, Choice):
        usual = default if optional and default else ""
        return (yield from choice(question, kind.words, usual))
    if isinstance(kind, NumberKind) and kind.words:
        return (yield from number(at, question, kind))
    if isinstance(kind, ListOf) and kind.kind is TEXT:
        return (yield from sentences(at, question))
    read = partial(at.plain if isinstance(kind, NumberKind) else at.text, kind)
    if isinstance(kind, ListOf) or name == "answers":
        read = partial(at.several, kind)
    return (yield from typed(question, read))


def keys(at: AtHand, heading: str, section: str, names: Iterable[str]) -> Walk[Entry]:
    """Ask for keys of an entry, one after the other; return those that were answered."""
    entry: Entry = {}
    for name in names:
        value = yield from key(at, heading, section, name)
        if value is not None and value != []:
            entry[name] = value
    return entry


def typed(question: Question, read: Callable[[str], Value], prompt: str = "Your answer:") -> Asking:
    """Ask for a text that a reader takes."""
    return (yield replace(question, prompt=prompt, take=read))


def choice(question: Question, words: Iterable[str], usual: str = "") -> Asking:
    """Ask for one of some words; Enter takes the usual one."""
    options = tuple(Option(word.replace("-", " "), word) for word in words if word)
    enter = f"as usual: {usual.replace('-', ' ')}" if usual else question.enter
    return (yield replace(question, options=options, enter=enter))


def number(at: AtHand, question: Question, kind: NumberKind) -> Asking:
    """Ask for a number by its words, each shown with what it stands for, or typed."""
    words = at.words(kind.words)
    said = [
        Option(f"{word}: {_said(kind.words, each.value)}", word) for word, each in words.items()
    ]
    options = (*said, Option("a number of my own", OWN))
    value = yield replace(question, options=options)
    if value != OWN:
        return value
    own = Question(question.heading, question.title, ("From 0 to 1; 0.02 is 2 in 100.",))
    return (yield from typed(own, partial(at.plain, kind)))


def sentences(at: AtHand, question: Question) -> Asking:
    """Ask for texts, one at a time, until Enter alone."""
    told: list[Value] = []
    while True:
        why = (*question.why, *(f"{n}. {text}" for n, text in enumerate(told, 1)))
        enter = NO_MORE if told else question.enter
        one = replace(question, why=why, enter=enter)
        text = yield from typed(one, partial(at.text, TEXT), "The next one:" if told else "First:")
        if text is None:
            return told
        told.append(text)


def found(at: AtHand, question: Question, section: str, among: Iterable[str] = ()) -> Asking:
    """Ask for an entry by words; return its id, or None where Enter means that."""
    titles = at.titles(section)
    allowed = set(among) or set(titles)

    def take(text: str) -> Value:
        ids = [text] if text in allowed else [i for i in at.find(section, text) if i in allowed]
        if not ids:
            told = (
                "Nothing fits these words. Try others: what it does, where it sits, what is seen."
            )
            raise UnfitError(told)
        return list(ids[:SHOWN])

    while True:
        names = yield from typed(question, take, "A few words for it:")
        if not isinstance(names, list):
            return None
        options = tuple(Option(f"{titles[str(each)]} ({each})", each) for each in names)
        none = "none of these: search again"
        name = yield replace(question, why=(), options=options, enter=none)
        if name is not None:
            return name


def when(at: AtHand, question: Question) -> Asking:
    """Ask for the layout that something needs; None where it holds always."""
    layouts = at.knowledge.layouts
    chosen: dict[str, Value] = {}
    while True:
        options = tuple(Option(x.title, name) for name, x in layouts.items() if name not in chosen)
        enter = NO_MORE if chosen else ALWAYS
        layout = yield replace(
            question, options=options, enter=enter, why=_so_far(question, chosen)
        )
        if layout is None:
            return chosen or None
        chosen[str(layout)] = yield from _values(at, question, str(layout))


def set_ups(at: AtHand, question: Question) -> Asking:
    """Ask for the states of the site that something needs, on or off; None where it needs none."""
    titles = at.titles("set-ups")
    chosen: dict[str, Value] = {}
    while True:
        left = tuple(Option(each, name) for name, each in titles.items() if name not in chosen)
        enter = NO_MORE if chosen else "none"
        name = yield replace(question, options=left, enter=enter, why=_so_far(question, chosen))
        if name is None:
            return chosen or None
        states = (Option("on: it must be made", "on"), Option("off: it must not be", "off"))
        chosen[str(name)] = yield Question(question.heading, titles[str(name)], options=states)


def strength(at: AtHand, question: Question, answers: tuple[str, ...]) -> Asking:
    """Ask for a likelihood of each abnormal answer, or for the one where there is one."""
    if len(answers) == len(TWO_ANSWERS):
        return (yield from number(at, question, LIKELIHOOD))
    unfit: tuple[str, ...] = ()
    while True:
        each: dict[str, Value] = {}
        for answer in answers[1:]:
            title = f"{question.title} The answer {answer}"
            one = replace(question, title=title, why=(*question.why, *unfit), enter="never")
            value = yield from number(at, one, LIKELIHOOD)
            if value is not None:
                each[answer] = value
        try:
            return at.value(StrengthKind(answers), each)
        except UnfitError as error:
            unfit = (f"Once more: {error}",)


def _values(at: AtHand, question: Question, layout: str) -> Asking:
    known = at.knowledge.layouts[layout]
    values: list[Value] = []
    while True:
        left = [each for each in known.values if each.id not in values]
        if not left:
            return values
        options = tuple(Option(each.title, each.id) for each in left)
        more = (f"So far: {', '.join(map(str, values))}. Another one, or:",) if values else ()
        value = yield Question(
            question.heading, known.title, more, options, enter=NO_MORE if values else ""
        )
        if value is None:
            return values[0] if len(values) == 1 else values
        values.append(value)


def _so_far(question: Question, chosen: Mapping[str, Value]) -> tuple[str, ...]:
    return (*question.why, *(f"So far: {name} is {value}" for name, value in chosen.items()))


def _said(table: str, value: float) -> str:
    if table == "how-common":
        return f"{value:g}, about 1 call in {1 / value:.0f}" if value else "0"
    return f"{value:g}, {value * 100:.0f} times in 100"
