"""What happens in a case: one event for each thing said or done, never changed.

A case is nothing but its events. Taking one back is an event as well. A site, where a
system stands, has events of its own; they stand at the end.
"""

from typing import Literal, TypeAlias

import msgspec

Speaker: TypeAlias = Literal["caller", "technician"]
"""Whose word it is."""


class Event(
    msgspec.Struct,
    frozen=True,
    tag_field="what",
    tag=True,
    omit_defaults=True,
    forbid_unknown_fields=True,
):
    """Something that happened."""


class Opened(Event, frozen=True, tag="opened"):
    """The case began: by phone (``speaker`` caller) or at the pump (technician).

    ``who`` is there to do the work; ``knowledge`` is the version of the files it began
    with; ``layout`` and ``settings`` (``44gal``) are what was known of the site by then;
    ``follows`` is the case that this one is a call-back of.
    """

    system: str
    who: str = "technician"
    speaker: Speaker = "technician"
    knowledge: str = ""
    site: str = ""
    follows: str = ""
    layout: dict[str, str] = {}
    settings: dict[str, str] = {}


class Joined(Event, frozen=True, tag="joined"):
    """Somebody takes the case up: what follows of this author is this speaker's word.

    Whoever was there before is not counted on any more.
    """

    who: str = "technician"
    speaker: Speaker = "technician"
    knowledge: str = ""


class Denied(Event, frozen=True, tag="denied"):
    """None of these dangers is there; a caller's word for it is no evidence about causes."""

    findings: tuple[str, ...]


class Told(Event, frozen=True, tag="told"):
    """An answer about a finding, a circumstance or the layout.

    Without a ``speaker`` it is the word of whoever its author speaks for: ``caller`` is
    told, ``technician`` is seen.
    """

    about: str
    answer: str
    speaker: Speaker | Literal[""] = ""


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


class RoundBegun(Event, frozen=True, tag="round-begun"):
    """Something other than a repair changed the system; findings are taken anew.

    ``redraws`` names findings whose links are drawn anew.
    """

    redraws: tuple[str, ...] = ()
    text: str = ""


class Works(Event, frozen=True, tag="works"):
    """Whether the system works as it should after the repair."""

    works: bool


class Proved(Event, frozen=True, tag="proved"):
    """How the proof of the repair came out: ``yes``, ``no`` or ``later``."""

    proof: str


class ProcedureBegun(Event, frozen=True, tag="procedure-begun"):
    """A procedure is walked step by step."""

    procedure: str


class ProcedureStepDone(Event, frozen=True, tag="procedure-step-done"):
    """The step of this number (from 0) is behind; the next one follows."""

    procedure: str
    number: int


class ProcedureBack(Event, frozen=True, tag="procedure-back"):
    """It goes on from the step of this number (from 0) again."""

    procedure: str
    number: int


class TimerStarted(Event, frozen=True, tag="timer-started"):
    """The minutes of the step of this number (from 0) run from the time of this entry."""

    procedure: str
    number: int


class PartRead(Event, frozen=True, tag="part-read"):
    """Some parts of a reading were taken, each in the reading's own unit; others follow."""

    reading: str
    parts: dict[str, float]


class ProcedureStopped(Event, frozen=True, tag="procedure-stopped"):
    """The stop condition of the step of this number (from 0) came true: the procedure ends."""

    procedure: str
    number: int


class ProcedureLeft(Event, frozen=True, tag="procedure-left"):
    """It was left at the step of this number (from 0); without a reason it had been stopped."""

    procedure: str
    number: int
    reason: str = ""


class TakenBack(Event, frozen=True, tag="taken-back"):
    """What was said about something in a round (from 0) counts no longer."""

    about: str
    round: int


class Undone(Event, frozen=True, tag="undone"):
    """The event with this id does not count."""

    event: str


class Paused(Event, frozen=True, tag="paused"):
    """The work rests."""


class Resumed(Event, frozen=True, tag="resumed"):
    """The work goes on."""


class Ending(Event, frozen=True, tag="ending"):
    """The case is about to end this way; the site is left safe first."""

    how: str


class Ended(Event, frozen=True, tag="ended"):
    """The case is closed; ``how`` is one of ``ENDS``."""

    how: str


class Reopened(Event, frozen=True, tag="reopened"):
    """The case goes on after it was closed."""


class AdviceShown(Event, frozen=True, tag="advice-shown"):
    """A step was offered, with the likeliest causes and their probabilities by then."""

    step: str
    causes: dict[str, float] = {}
    unlisted: float = 0.0


class DangerMet(Event, frozen=True, tag="danger-met"):
    """Everything was stopped because of this answer; what to do was shown."""

    finding: str
    answer: str


class Note(Event, frozen=True, tag="note"):
    """Somebody's own words, perhaps about something."""

    text: str
    about: str = ""


class CallTold(Event, frozen=True, tag="call-told"):
    """What was said for the call sheet about one of its fields; empty text takes it back."""

    field: str
    text: str


class Photo(Event, frozen=True, tag="photo"):
    """Where a picture lies; the picture itself is kept elsewhere."""

    reference: str
    text: str = ""
    about: str = ""


class AtSite(Event, frozen=True, tag="at-site"):
    """The case is one of this site; an empty id takes it from its site."""

    site: str


class Follows(Event, frozen=True, tag="follows"):
    """The case is a call-back of another."""

    case: str


class SiteBegun(Event, frozen=True, tag="site-begun"):
    """A site is kept from now on."""

    system: str


class Named(Event, frozen=True, tag="named"):
    """Who and where: customer data. ``speaker`` is who usually answers there."""

    name: str = ""
    address: str = ""
    contact: str = ""
    speaker: str = ""


class Setting(Event, frozen=True, tag="setting"):
    """A setting of the installation, asked or measured once, with its unit."""

    about: str
    value: float
    unit: str = ""


AnyEvent: TypeAlias = (
    Opened
    | Joined
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
    | RoundBegun
    | Works
    | Proved
    | ProcedureBegun
    | ProcedureStepDone
    | ProcedureBack
    | TimerStarted
    | PartRead
    | ProcedureStopped
    | ProcedureLeft
    | TakenBack
    | Undone
    | Paused
    | Resumed
    | Ending
    | Ended
    | Reopened
    | AdviceShown
    | DangerMet
    | Note
    | CallTold
    | Photo
    | AtSite
    | Follows
    | SiteBegun
    | Named
    | Setting
)
"""Any of them, as they are read from a file."""

ENDS = (
    "mended",
    "mended-proof-open",
    "works-again",
    "made-safe",
    "temporary",
    "part-on-order",
    "declined",
    "no-fault",
    "no-access",
    "referred",
)
"""How a case can end."""

SITE_EVENTS = (SiteBegun, Named, Setting, Told, TakenBack, Note, Undone)
"""Events of a site; the layout is told."""

PASSED_OVER = (
    Opened,
    Joined,
    Paused,
    Resumed,
    AdviceShown,
    DangerMet,
    Undone,
    Reopened,
    AtSite,
    Follows,
)
"""Events that are not meant when the last one is to be taken back."""
