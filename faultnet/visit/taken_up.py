"""Who takes a case up: what is written first, and how the case looks to them."""

from collections.abc import Callable
from typing import TypeVar

from faultnet.cases.events import AnyEvent, Joined, Speaker
from faultnet.visit.visit import Visit

V = TypeVar("V", bound=Visit)

Remade = Callable[[V], V]
"""What makes the conversation anew of its entries: whoever is there decides the counsel."""


def joined(visit: Visit, speaker: Speaker, who: str | None = None) -> Joined | None:
    """Return the word that somebody takes the case up, where they have not yet.

    ``who`` is there to do the work; without it whoever speaks, or as they said before.
    """
    sitting = visit.at.case.sittings.get(visit.writer.author)
    if sitting and sitting.speaker == speaker and who in {None, sitting.who}:
        return None
    return Joined(who or speaker, speaker, knowledge=visit.talk.subject.knowledge.version)


def taken_up(visit: V, speaker: Speaker, remade: Remade[V]) -> V:
    """Return a case as whoever takes it up is going to have it; nothing is kept by looking."""
    word = joined(visit, speaker)
    if word is None or visit.at.speaker == speaker:
        return visit
    return remade(visit.after(word))


def replied(visit: V, event: AnyEvent, speaker: Speaker, remade: Remade[V]) -> V:
    """Return the visit after an event, with who takes the case up before it."""
    word = joined(visit, speaker)
    begun = visit if word is None else remade(visit.after(word))
    return begun.after(event)
