"""Events of a procedure that is walked step by step."""

from faultnet.cases.event import Event


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
