"""How many minutes the steps of a case took, by the times of its entries."""

from faultnet.cases import events as e
from faultnet.cases.entry import Entry, seconds_of

LEAST = 0.25
"""Minutes. What took less was done before and only written down (judgement)."""

MOST = 480.0
"""Minutes: a working day. What took longer was left alone meanwhile (judgement)."""

_MEANWHILE = (
    e.Note,
    e.Photo,
    e.PartRead,
    e.TimerStarted,
    e.ProcedureBegun,
    e.ProcedureStepDone,
    e.ProcedureBack,
    e.DangerMet,
    e.Paused,
    e.Resumed,
)
"""What may be written down while a step is being done."""


class Timing:
    """The clock beside a case: each author's steps run from what the author did before.

    That is the offer of the step, its beginning, or the last set-up made for it. Pauses do not
    count. A step that was neither offered nor begun has no minutes: nobody knows when it was.
    One that was begun and then put off was broken off.
    """

    def __init__(self) -> None:
        self._running: dict[str, float] = {}
        self._shown: dict[str, set[str]] = {}
        self._begun: dict[str, str] = {}
        self._pauses: list[tuple[float, float]] = []
        self._paused: float | None = None

    def broken_off(self, entry: Entry) -> bool:
        """Whether an entry, which comes next, says that a step was begun and is left."""
        event = entry.event
        return isinstance(event, e.StepSkipped) and self._begun.get(entry.author) == event.step

    def after(self, entry: Entry) -> float | None:
        """Go on by an entry; return the minutes of the step that it ends, if they are known."""
        now, event, author = seconds_of(entry.at), entry.event, entry.author
        self._pause(event, now)
        if isinstance(event, _MEANWHILE):
            return None
        minutes = None
        shown = self._shown.setdefault(author, set())
        match event:
            case e.AdviceShown(step):
                shown.add(step)
            case e.StepBegun(step):
                shown.add(step)
                self._begun[author] = step
            case e.StepDone(step) | e.RepairDone(step) | e.StepSkipped(step):
                if step in shown and author in self._running:
                    minutes = self._between(self._running[author], now)
                shown.clear()
                self._begun.pop(author, None)
        self._running[author] = now
        return minutes

    def _pause(self, event: e.Event, now: float) -> None:
        if isinstance(event, e.Paused):
            self._paused = now if self._paused is None else self._paused
        elif self._paused is not None:
            # Whatever comes next says that the work goes on.
            self._pauses.append((self._paused, now))
            self._paused = None

    def _between(self, start: float, end: float) -> float | None:
        rested = sum(max(0.0, min(end, until) - max(start, since)) for since, until in self._pauses)
        minutes = (end - start - rested) / 60.0
        return round(minutes, 2) if LEAST <= minutes <= MOST else None
