"""`reply`: what a reply leads to; entries to keep, something to look at, or away."""

import msgspec

from faultnet.cases.entry import Entry
from faultnet.cases.events import AdviceShown, DangerMet
from faultnet.pocket.talk.begin import Kept
from faultnet.pocket.talk.carried import Carried
from faultnet.pocket.talk.show import ShowAsked
from faultnet.visit.glance import Glance, led_to
from faultnet.visit.taken_up import replied

NOTES = (AdviceShown, DangerMet)
"""What was noted about a turn; it is the same turn as before."""


class ReplyAsked(ShowAsked, frozen=True, kw_only=True):
    """A reply to what is shown: a key, or text that was typed; ``last`` is what was shown last."""

    last: str
    key: str | None = None
    typed: str = ""


class LedTo(msgspec.Struct, frozen=True, omit_defaults=True):
    """What a reply leads to beside entries.

    ``leave`` is away from the case; ``unknown`` is where it was not taken: somebody wrote
    meanwhile, or nothing such is offered.
    """

    view: str = ""
    what: str = ""
    text: str = ""
    leave: bool = False
    unknown: bool = False


def reply(carried: Carried, asked: ReplyAsked) -> Kept | LedTo:
    """Take a reply; nothing is thought about that the turn itself does not need."""
    held = carried.held(asked)
    if not _is_last(held.kept.entries, asked.last):
        return LedTo(unknown=True)
    outcome = led_to(held.seen, asked.glance, asked.key, asked.typed)
    if outcome is None:
        return LedTo(unknown=True)
    if isinstance(outcome, Glance):
        leaves = outcome.leaves
        return LedTo(leave=True) if leaves else LedTo(outcome.view, outcome.what, outcome.text)
    after = replied(held.kept, outcome, "technician", carried.remade)
    return Kept(after.entries[len(held.kept.entries) :])


def _is_last(entries: tuple[Entry, ...], last: str) -> bool:
    """Whether an entry is the last, but for what was noted about the turn that followed it."""
    for entry in reversed(entries):
        if entry.id == last:
            return True
        if not isinstance(entry.event, NOTES):
            return False
    return False
