"""Questions that are too long, or too hard to read; what a caller hears most of all."""

from collections.abc import Iterator

import msgspec

from faultnet.authoring.code import WarningCode
from faultnet.authoring.lint.grade import grade, sentences, words
from faultnet.authoring.problem import Problem, warning
from faultnet.authoring.texts import Placed, said_to_caller
from faultnet.model.as_found import Look
from faultnet.model.finding import Finding
from faultnet.model.knowledge import Knowledge
from faultnet.model.layout import Circumstance, Layout


class Limits(msgspec.Struct, frozen=True):
    """How long and how hard a question may be; ``grade`` is of school."""

    words: int
    in_sentence: int
    grade: float
    hearer: str


TECHNICIAN = Limits(35, 25, 12.0, "technician")
CALLER = Limits(30, 20, 9.0, "caller")
"""Judgement, all of it. A caller has only heard it, once, beside a dry tap."""


def questions(knowledge: Knowledge) -> Iterator[Problem]:
    """Yield questions over the limits, and other sentences too long for a caller to hear."""
    asked, heard = tuple(_asked(knowledge)), tuple(_heard(knowledge))
    for limits, placed in ((TECHNICIAN, asked), (CALLER, heard)):
        for entity, origin, text in placed:
            for code, message, hint in _over(text, limits):
                yield warning(code, entity, origin, message, hint)
    for entity, origin, text in said_to_caller(knowledge):
        if text and (entity, origin, text) not in heard and (long := _longest(text, CALLER)):
            yield warning("question-too-long", entity, origin, long, _SPLIT)


_SPLIT = "Make two sentences of it, or leave out what changes no answer."


def _asked(knowledge: Knowledge) -> Iterator[Placed]:
    findings = (each for each in knowledge.findings.values() if not each.found_cause)
    asked: tuple[Finding | Layout | Circumstance | Look, ...] = (
        *findings, *knowledge.layouts.values(), *knowledge.circumstances.values(),
        *knowledge.as_found.values(),
    )  # fmt: skip
    for each in asked:
        yield each.id, each.origin, each.ask


def _heard(knowledge: Knowledge) -> Iterator[Placed]:
    asked: tuple[Finding | Layout | Circumstance, ...] = (
        *knowledge.findings.values(), *knowledge.layouts.values(),
        *knowledge.circumstances.values(),
    )  # fmt: skip
    for each in asked:
        if each.ask_caller:
            yield each.id, each.origin, each.ask_caller


def _over(text: str, limits: Limits) -> Iterator[tuple[WarningCode, str, str]]:
    count = len(words(text))
    if count > limits.words:
        message = f"The {limits.hearer} is asked {count} words, more than {limits.words}: "
        yield "question-too-long", f"{message}{_start(text)}.", _SPLIT
    elif long := _longest(text, limits):
        yield "question-too-long", long, _SPLIT
    if (hard := grade(text)) > limits.grade:
        message = f"It reads like school grade {hard:.0f}, for a {limits.hearer} it may be "
        hint = "Take shorter words and shorter sentences."
        yield "question-hard-to-read", f"{message}{limits.grade:g}: {_start(text)}.", hint


def _longest(text: str, limits: Limits) -> str:
    """Return what is wrong with the longest sentence, or nothing."""
    longest = max(sentences(text), key=lambda each: len(words(each)), default="")
    count = len(words(longest))
    if count <= limits.in_sentence:
        return ""
    limit = limits.in_sentence
    told = f"A sentence for the {limits.hearer} has {count} words, more than {limit}: "
    return f"{told}{_start(longest)}."


def _start(text: str) -> str:
    return f'"{" ".join(text.split()[:6])} ..."'
