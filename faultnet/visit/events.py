"""What happens in a visit: one event for each reply, in order, never changed.

The state of a visit is nothing but its events. Taking one back is an event as well.
"""

from typing import TypeAlias

import msgspec


class Event(msgspec.Struct, frozen=True, tag_field="what", tag=True):
    """Something that happened."""


class Opened(Event, frozen=True, tag="opened"):
    """The visit began; ``knowledge`` is the version of the files it began with."""

    system: str
    who: str = "technician"
    speaker: str = "technician"
    knowledge: str = ""


class Denied(Event, frozen=True, tag="denied"):
    """None of these dangers is there."""

    findings: tuple[str, ...]


class Told(Event, frozen=True, tag="told"):
    """An answer about a finding, a circumstance or the layout."""

    about: str
    answer: str


class Measured(Event, frozen=True, tag="measured"):
    """A reading was taken, each part in the reading's own unit."""

    reading: str
    parts: dict[str, float]


class NotKnown(Event, frozen=True, tag="not-known"):
    """The question was asked and nobody knows."""

    about: str


class Picked(Event, frozen=True, tag="picked"):
    """Something seen was picked, and is asked about next."""

    about: str


class Passed(Event, frozen=True, tag="passed"):
    """A stretch of questions is over, or skipped."""

    stage: str


class MadeSafe(Event, frozen=True, tag="made-safe"):
    """The danger that this finding stands for has been dealt with."""

    finding: str


class StepBegun(Event, frozen=True, tag="step-begun"):
    """The step that was shown is being done."""

    step: str


class StepSkipped(Event, frozen=True, tag="step-skipped"):
    """The step that was shown is put off."""

    step: str


class SetUpMade(Event, frozen=True, tag="set-up-made"):
    """States of the site were made; ``called:`` entries are people who have come."""

    set_ups: tuple[str, ...]


class SetUpUndone(Event, frozen=True, tag="set-up-undone"):
    """States of the site were undone."""

    set_ups: tuple[str, ...]


class StepDone(Event, frozen=True, tag="step-done"):
    """The check was done; its questions follow."""

    step: str


class RepairDone(Event, frozen=True, tag="repair-done"):
    """The repair was done; a new round begins."""

    repair: str


class Works(Event, frozen=True, tag="works"):
    """Whether the system works as it should after the repair."""

    works: bool


class Proved(Event, frozen=True, tag="proved"):
    """How the proof of the repair came out: ``yes``, ``no`` or ``later``."""

    proof: str


class TakenBack(Event, frozen=True, tag="taken-back"):
    """What was said about something in a round (from 0) counts no longer."""

    about: str
    round: int


class Undone(Event, frozen=True, tag="undone"):
    """The event before does not count."""


class Paused(Event, frozen=True, tag="paused"):
    """The work rests."""


class Resumed(Event, frozen=True, tag="resumed"):
    """The work goes on."""


class Ending(Event, frozen=True, tag="ending"):
    """The visit is about to end this way; the site is left safe first."""

    how: str


class Ended(Event, frozen=True, tag="ended"):
    """The visit is over."""

    how: str


AnyEvent: TypeAlias = (
    Opened
    | Denied
    | Told
    | Measured
    | NotKnown
    | Picked
    | Passed
    | MadeSafe
    | StepBegun
    | StepSkipped
    | SetUpMade
    | SetUpUndone
    | StepDone
    | RepairDone
    | Works
    | Proved
    | TakenBack
    | Undone
    | Paused
    | Resumed
    | Ending
    | Ended
)
"""Any of them, as they are read from a file."""

LASTING = (Opened, Paused, Resumed)
"""Events that undo passes over."""


def counting(events: tuple[Event, ...]) -> tuple[Event, ...]:
    """Return the events that count: without those taken back, and without the taking back."""
    kept: list[Event] = []
    for event in events:
        if not isinstance(event, Undone):
            kept.append(event)
            continue
        place = last_undoable(kept)
        if place is not None:
            del kept[place]
    return tuple(kept)


def last_undoable(events: list[Event] | tuple[Event, ...]) -> int | None:
    """Return the place of the last event that can be taken back."""
    for place in range(len(events) - 1, -1, -1):
        if not isinstance(events[place], LASTING):
            return place
    return None
