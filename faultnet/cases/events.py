"""What happens in a case: one event for each thing said or done, never changed.

A case is nothing but its events. Taking one back is an event as well. Those of a procedure,
of the closing sheet and of a site stand in modules of their own; all are listed here.
"""

from typing import Literal, TypeAlias

from msgspec import field

from faultnet.cases.event import Event, Speaker
from faultnet.cases.events_beside import AtSite, CallTold, Follows, Note, Photo
from faultnet.cases.events_of_site import (
    Named,
    Setting,
    SiteBegun,
)
from faultnet.cases.events_on_arrival import AsFound, Tried
from faultnet.cases.events_on_sheet import (
    Disinfected,
    Fitted,
    Licence,
    NextDue,
    OnSheet,
    Role,
    SafetyFinding,
    Signed,
    Watch,
)
from faultnet.cases.events_walked import (
    PartRead,
    ProcedureBack,
    ProcedureBegun,
    ProcedureLeft,
    ProcedureStepDone,
    ProcedureStopped,
    TimerStarted,
)

__all__ = [
    "AsFound",
    "AtSite",
    "CallTold",
    "Disinfected",
    "Event",
    "Fitted",
    "Follows",
    "Licence",
    "Named",
    "NextDue",
    "Note",
    "OnSheet",
    "PartRead",
    "Photo",
    "ProcedureBack",
    "ProcedureBegun",
    "ProcedureLeft",
    "ProcedureStepDone",
    "ProcedureStopped",
    "Role",
    "SafetyFinding",
    "Setting",
    "Signed",
    "SiteBegun",
    "Speaker",
    "TimerStarted",
    "Tried",
    "Watch",
]
"""What stands in other modules and is used from here."""


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
    layout: dict[str, str] = field(default_factory=dict)
    settings: dict[str, str] = field(default_factory=dict)


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
    told, ``technician`` is seen. With ``corrects`` what was answered before was a mistake.
    """

    about: str
    answer: str
    speaker: Speaker | Literal[""] = ""
    corrects: bool = False


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
    """The step that was shown is being done, perhaps instead of a smaller repair."""

    step: str
    instead_of: str = ""


class StepSkipped(Event, frozen=True, tag="step-skipped"):
    """The step that was shown is put off; ``reason`` is one of ``REASONS`` or empty."""

    step: str
    reason: str = ""
    text: str = ""


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
    """The repair was done; a new round begins.

    ``instead_of`` is the smaller repair that it was done instead of: both mend.
    """

    repair: str
    instead_of: str = ""


class Confirmed(Event, frozen=True, tag="confirmed"):
    """What had been wrong, as it was seen while it was mended at the end of a round (from 0).

    Without a cause it could not be told; or it was seen, and the files do not hold it
    (``unlisted``): ``text`` then says what it was.
    """

    cause: str
    round: int
    unlisted: bool = False
    text: str = ""


class Agreed(Event, frozen=True, tag="agreed"):
    """The customer agreed to a repair that may come to this much money; ``name`` said so."""

    step: str
    amount: float
    currency: str
    name: str = ""


class OwnViewFirst(Event, frozen=True, tag="own-view-first"):
    """Whoever is at the pump names a suspect before any ranking is shown, in each round."""


class Suspected(Event, frozen=True, tag="suspected"):
    """What the person at the pump suspects before having seen the ranking.

    Without a cause it is something that is not in the files.
    """

    cause: str
    text: str = ""


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
    causes: dict[str, float] = field(default_factory=dict)
    unlisted: float = 0.0


class DangerMet(Event, frozen=True, tag="danger-met"):
    """Everything was stopped because of this answer; what to do was shown."""

    finding: str
    answer: str


AnyEvent: TypeAlias = (
    Opened
    | Joined
    | Denied
    | Told
    | Measured
    | AsFound
    | Tried
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
    | Confirmed
    | Agreed
    | OwnViewFirst
    | Suspected
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
    | OnSheet
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

LASTING = ("no-tool", "no-part", "no-access", "not-safe-now", "declined", "not-that")
"""Reasons to put a step off that hold for the whole visit, whatever is mended meanwhile."""

REASONS = (*LASTING, "later")
"""Why a step is put off."""

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
