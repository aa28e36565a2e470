"""Replying to a visit by keys, as a person would."""

from faultnet.advice.subject import Subject
from faultnet.cases.entry import Entry, Writer
from faultnet.cases.events import AnyEvent
from faultnet.visit.turn import Turn
from faultnet.visit.visit import Visit, visit_of

ANNA = Writer("anna@here")


def written(*events: AnyEvent, by: Writer = ANNA) -> tuple[Entry, ...]:
    """Return events as one person writes them down, one after the other."""
    entries = (by.begin(events[0]),)
    for event in events[1:]:
        entries = (*entries, by.entry(entries[0].log, event, entries))
    return entries


def opened(subject: Subject, *events: AnyEvent) -> Visit:
    """Return the visit of one person after events, the first of which opens it."""
    return visit_of(subject, written(*events), ANNA)


def press(visit: Visit, *keys: str) -> Visit:
    """Return the visit after keys; those that lead to a view are followed by a key of it."""
    turn = visit.turn
    for key in keys:
        reply = turn.reply(key)
        assert reply is not None, f"no key {key!r} at {turn.kind}: {turn.title}"
        visit = visit.after(reply.event) if reply.event is not None else visit
        turn = visit.turn if reply.event is not None else visit.view(reply.view)
    assert turn == visit.turn, f"{keys[-1]!r} is a view: {turn.title}"
    return visit


def pick(visit: Visit, label: str, *keys: str) -> Visit:
    """Return the visit after the reply with a label, and then keys."""
    return press(visit, key_of(visit.turn, label), *keys)


def key_of(turn: Turn, label: str) -> str:
    """Return the key of the reply with a label."""
    keys = [each.key for each in turn.replies if each.label == label]
    assert keys, f"no reply {label!r} among {[each.label for each in turn.replies]}"
    return keys[0]


def labels(turn: Turn) -> list[str]:
    """Return what can be replied."""
    return [each.label for each in turn.replies]


def text(turn: Turn) -> str:
    """Return everything that a turn says."""
    return "\n".join((turn.heading, turn.title, *(line.text for line in turn.lines)))


def go(visit: Visit, until: str, *, keys: dict[str, str], limit: int = 40) -> Visit:
    """Return the visit once a turn of a kind is due, replying to others by their kind."""
    for _ in range(limit):
        if visit.turn.kind == until:
            return visit
        visit = press(visit, keys[visit.turn.kind])
    raise AssertionError(f"no {until} after {limit} replies")
