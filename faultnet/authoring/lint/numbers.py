"""Numbers that disagree with the words beside them, and hints too weak to give."""

import re
from collections.abc import Iterator

from faultnet.authoring.problem import Problem, warning
from faultnet.model.cause import Cause
from faultnet.model.knowledge import Knowledge
from faultnet.model.origin import Number

WEAKEST_HINT = 3.0
"""Factors nearer to 1 than this change too little to be worth it: docs/knowledge-files.md."""
MOST_HINTS = 2
"""Circumstances that one cause names at most."""

_FAULT = r"(?=\s+(?:fault|cause|trouble|reason|one)\b|\s*[.;,]|\s*$)"
_COMMON = re.compile(
    rf"(?<!not )(?<!less )\b(?:common|commonest|most common|frequent|usual){_FAULT}", re.IGNORECASE
)
_RARE = re.compile(
    rf"\b(?:(?<!not )rare|uncommon|not common|less common|seldom seen|hardly ever seen){_FAULT}",
    re.IGNORECASE,
)


def numbers(knowledge: Knowledge) -> Iterator[Problem]:
    """Yield numbers that are a word, notes that belie how common a cause is, weak hints."""
    for cause in knowledge.causes.values():
        yield from _said_as_word(cause, knowledge)
        yield from _belied(cause, knowledge)
        yield from _weak_hints(cause, knowledge)


def _said_as_word(cause: Cause, knowledge: Knowledge) -> Iterator[Problem]:
    """Yield plain numbers for which there is a word; parts of a sum over answers are none."""
    words, findings = knowledge.words, knowledge.findings
    single = [
        link.strength[0]
        for link in cause.shows
        if len(link.strength) == 1 and not findings[link.finding].found_cause
    ]
    led = [arc.strength for arc in cause.leads_to if arc.strength is not None]
    pairs = [(cause.how_common, words.how_common)]
    pairs += [(number, words.likelihood) for number in (*single, *led)]
    for number, table in pairs:
        word = "" if number.word else _word_of(number.value, table)
        if word:
            message = f"{number.value:g} is what `{word}` means."
            hint = f"Write `{word}`: a change of words.yaml then reaches it, and a reader knows it."
            yield warning("number-is-a-word", cause.id, number.origin, message, hint)


def _word_of(value: float, table: dict[str, Number]) -> str:
    return next((word for word, number in table.items() if number.value == value), "")


def _belied(cause: Cause, knowledge: Knowledge) -> Iterator[Problem]:
    """Yield causes whose note calls them common and whose number rare, or the other way."""
    values = [each.value for each in knowledge.words.how_common.values()]
    least, most = min(values, default=0.0), max(values, default=1.0)
    common, rare = _COMMON.search(cause.note), _RARE.search(cause.note)
    said = common or rare
    if not said or (common and rare) or least == most:
        return
    if cause.how_common.value <= least if common else cause.how_common.value >= most:
        written = cause.how_common.word or f"{cause.how_common.value:g} per trouble call"
        message = f'The note says "{said[0]}", but how-common says {written}.'
        hint = "Change the one that is wrong; or let the note say of what it is true."
        yield warning("text-against-number", cause.id, cause.how_common.origin, message, hint)


def _weak_hints(cause: Cause, knowledge: Knowledge) -> Iterator[Problem]:
    hints = [each for each in cause.likelier_when if each.about in knowledge.circumstances]
    for each in hints:
        if 1 / WEAKEST_HINT < each.factor.value < WEAKEST_HINT:
            message = f"`{each.about}` with a factor of {each.factor.value:g} hardly says anything."
            hint = f"Leave it out, or give the factor you believe in: {WEAKEST_HINT:g} or more."
            yield warning("weak-hint", cause.id, each.factor.origin, message, hint)
    if len(hints) > MOST_HINTS:
        message = f"{len(hints)} circumstances are named: each ties causes together."
        hint = f"Keep the {MOST_HINTS} that say most."
        yield warning("weak-hint", cause.id, hints[MOST_HINTS].factor.origin, message, hint)
