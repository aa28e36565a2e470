"""A view of one's own first: a suspect is named before any ranking is shown."""

from faultnet.advice.ranking import Ranking
from faultnet.cases.events import Passed, Suspected
from faultnet.visit.progress import Progress
from faultnet.visit.steps import best
from faultnet.visit.talk import Talk
from faultnet.visit.turn import BACK, ENTER, KEYS, Line, Reply, Turn, Typed, numbered

COMPARED = "compared"
HEADING = "Your own view first"
SHOWN = 9
"""Causes in the list at a time."""


def hidden(at: Progress) -> bool:
    """Whether the ranking is not to be shown yet."""
    return at.own_view and at.suspect is None


def asked(talk: Talk, at: Progress) -> Turn | None:
    """Return the question for a suspect, then how it compares."""
    if hidden(at):
        return parts(talk)
    if at.own_view and COMPARED not in at.passed:
        return _compared(talk, at)
    return None


def parts(talk: Talk) -> Turn:
    """Return the areas that a suspect can be in, as the files are ordered."""
    known = talk.subject.knowledge
    areas = dict.fromkeys(known.causes[c].part for c in talk.subject.causes if c in known.causes)
    replies = [
        Reply(key, known.parts[area].title, view=f"suspect:{area}:0")
        for key, area in zip(KEYS, areas, strict=False)
    ]
    other = Reply("w", "something else, in words", view="suspect-words")
    title = "Where do you suspect the fault?"
    line = Line("note", "Nothing is shown of the ranking until you have named one.")
    return Turn("suspect", HEADING, title, (line,), (*replies, other))


def causes(talk: Talk, which: str) -> Turn:
    """Return the causes of an area in the order of the alphabet; ``which`` is ``area:begin``."""
    area, _, begin = which.partition(":")
    known, start = talk.subject.knowledge, int(begin)
    here = sorted((known.causes[c].title, c) for c in _in_area(talk, area))
    replies = numbered({title: Suspected(c) for title, c in here[start : start + SHOWN]})
    more = start + SHOWN
    after = (Reply("m", "more", view=f"suspect:{area}:{more if more < len(here) else 0}"),)
    other = (*(after if len(here) > SHOWN else ()), Reply("w", "in words", view="suspect-words"))
    title = "Which one do you suspect?"
    return Turn("suspect", known.parts[area].title, title, (), (*replies, *other, BACK))


def words() -> Turn:
    """Return the turn that takes a suspect in words."""
    typed = Typed("suspect", "What do you suspect?")
    return Turn("suspect", HEADING, "Not in the lists", typed=typed)


def _in_area(talk: Talk, area: str) -> list[str]:
    known = talk.subject.knowledge.causes
    return [c for c in talk.subject.causes if c in known and known[c].part == area]


def _compared(talk: Talk, at: Progress) -> Turn:
    ranking = talk.counsel.ranking(at.evidence)
    first = ranking.causes[0]
    step = best(talk, at)[0]
    body = (
        Line("item", _yours(talk, at, ranking)),
        Line("item", f"First here: {first.title}, {first.probability:.0%}."),
        Line("say", f"What goes on either way: {step.title}."),
    )
    go_on = Reply(ENTER, "go on", Passed(COMPARED))
    return Turn("compared", HEADING, "Yours and the ranking", body, (go_on,))


def _yours(talk: Talk, at: Progress, ranking: Ranking) -> str:
    suspect = at.suspect or Suspected("")
    places = [c.id for c in ranking.causes]
    if suspect.cause not in places:
        return f"You: {suspect.text}. All that is not in the files: {ranking.unlisted:.0%}."
    place = places.index(suspect.cause)
    chance = ranking.causes[place].probability
    title = talk.subject.title(suspect.cause)
    return f"You: {title}, {chance:.0%}, place {place + 1} of {len(places)}."
