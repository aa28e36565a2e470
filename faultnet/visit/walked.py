"""From the entries of a case to the procedure that is being walked, and its step."""

from msgspec.structs import replace

from faultnet.cases import events as e
from faultnet.cases.entry import Entry
from faultnet.model.knowledge import Knowledge
from faultnet.visit.progress import Walk


def walked(walk: Walk, entry: Entry, knowledge: Knowledge) -> Walk:
    """Return the walk after one more entry of its author."""
    event = entry.event
    if isinstance(event, e.ProcedureBegun):
        return Walk(event.procedure, tries={0: 1})
    if isinstance(event, e.PartRead | e.Measured):
        return _read(walk, event.reading, event.parts, knowledge)
    if walk.procedure and getattr(event, "procedure", "") == walk.procedure:
        return _moved(walk, entry, knowledge)
    return walk


def _moved(walk: Walk, entry: Entry, knowledge: Knowledge) -> Walk:
    """Return the walk after an event of its procedure; one at another step changes nothing."""
    match entry.event:
        case e.ProcedureBack(_, step):
            walk = _at(walk, step)
        case e.ProcedureLeft():
            walk = Walk()
        case e.ProcedureStepDone(_, step) if step == walk.step:
            walk = _next(walk, knowledge)
        case e.TimerStarted(_, step) if step == walk.step:
            walk = replace(walk, timer=entry.at)
        case e.ProcedureStopped(_, step) if step == walk.step:
            walk = replace(walk, stopped=True)
    return walk


def _next(walk: Walk, knowledge: Knowledge) -> Walk:
    if walk.step + 1 >= len(knowledge.procedures[walk.procedure].steps):
        return Walk()
    return _at(walk, walk.step + 1)


def _at(walk: Walk, step: int) -> Walk:
    tries = {**walk.tries, step: walk.tries.get(step, 0) + 1}
    return replace(walk, step=step, timer="", stopped=False, tries=tries)


def _read(walk: Walk, reading: str, parts: dict[str, float], knowledge: Knowledge) -> Walk:
    """Return the walk after numbers; it goes on where this step asks for them."""
    if not walk.procedure:
        return walk
    read = {**walk.read, reading: {**walk.read.get(reading, {}), **parts}}
    walk = replace(walk, read=read)
    takes = knowledge.procedures[walk.procedure].steps[walk.step].takes
    wanted = set(takes.get(reading, ()))
    return _next(walk, knowledge) if wanted and wanted <= parts.keys() else walk
