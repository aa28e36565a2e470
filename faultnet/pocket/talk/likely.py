"""How likely each reply to a turn is, roughly: what is thought about first hangs on it."""

from collections.abc import Mapping, Sequence

from faultnet.advice.step import Outcome
from faultnet.cases.events import (
    AnyEvent,
    Denied,
    Ending,
    NotKnown,
    StepSkipped,
    Told,
)
from faultnet.visit.progress import Progress
from faultnet.visit.talk import Talk
from faultnet.visit.turn import Turn

ASIDE = 0.03
"""The share of a reply that leads away: not known, put off, ended (judgement)."""

FALLING = 0.6
"""The share of each further reply on the one before, where nothing better is known (judgement)."""

ASIDES = (NotKnown, StepSkipped, Ending)


def shares(
    talk: Talk, at: Progress, turn: Turn, outcomes: Sequence[Outcome]
) -> list[tuple[AnyEvent, float]]:
    """Return the events that replies to a turn are, with the share of each; they sum to one.

    ``outcomes`` are the joint answers of the step that is being done.
    """
    events = [reply.event for reply in turn.replies if reply.event is not None]
    known = _known(talk, at, events, outcomes)
    weights = []
    falling = 1.0
    for event in events:
        if isinstance(event, Told) and event.answer in known:
            weights.append(known[event.answer])
        elif isinstance(event, ASIDES) or (turn.kind == "dangers" and not _none(event)):
            weights.append(ASIDE)
        else:
            weights.append(falling)
            falling *= FALLING
    whole = sum(weights)
    return [(event, weight / whole) for event, weight in zip(events, weights, strict=True)]


def _none(event: AnyEvent) -> bool:
    """Whether an event says that there is no danger."""
    return isinstance(event, Denied)


def _known(
    talk: Talk, at: Progress, events: Sequence[AnyEvent], outcomes: Sequence[Outcome]
) -> Mapping[str, float]:
    """The chance of each answer to what is asked, as far as it is known."""
    about = next((event.about for event in events if isinstance(event, Told)), "")
    if about in talk.subject.roots:
        root = talk.subject.network.roots[talk.subject.roots[about]]
        return dict(zip(root.states, root.prior, strict=True))
    found: dict[str, float] = {}
    for each in outcomes:
        if about in each.answers and _agrees(at, each.answers):
            answer = each.answers[about]
            found[answer] = found.get(answer, 0.0) + each.probability
    return found


def _agrees(at: Progress, answers: Mapping[str, str]) -> bool:
    """Whether what was said by now goes together with an outcome."""
    return all(at.said(about) in {"", answer} for about, answer in answers.items())
