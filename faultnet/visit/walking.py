"""A procedure walked one step at a time: limit, stop condition, caution, timer, numbers."""

from faultnet.advice.observe import read
from faultnet.advice.possibilities import UnfitReadingError
from faultnet.cases.entry import seconds_of
from faultnet.cases.events import (
    AnyEvent,
    Measured,
    PartRead,
    ProcedureBack,
    ProcedureLeft,
    ProcedureStepDone,
    ProcedureStopped,
    TimerStarted,
)
from faultnet.model.evidence import Taken
from faultnet.model.in_words import plain
from faultnet.model.procedure import Procedure, Step
from faultnet.reckon.units import UnfitNumberError
from faultnet.visit.progress import Progress
from faultnet.visit.readings import also, numbers_of, of_site
from faultnet.visit.talk import Talk
from faultnet.visit.turn import ENTER, Line, Reply, Turn, Typed, lines

MINUTES = "minutes"
"""The limit that a timer goes with."""

TRIES = "tries"
"""The limit that tries are counted against."""


def current(talk: Talk, at: Progress) -> Turn | None:
    """Return the step of the procedure that is being walked, or what its stopping means."""
    if not at.walk.procedure:
        return None
    procedure = procedure_of(talk, at)
    step = procedure.steps[at.walk.step]
    heading = f"{procedure.title}: step {at.walk.step + 1} of {len(procedure.steps)}"
    if at.walk.stopped:
        return _stopped(at, procedure, step, heading)
    replies = (
        *_on(talk, at, procedure, step),
        *_timer(at, step),
        *_aside(at, step),
    )
    return Turn("walk", heading, step.do, _body(at, step), replies, until=_until(at, step))


def procedure_of(talk: Talk, at: Progress) -> Procedure:
    """Return the procedure that is being walked."""
    return talk.subject.knowledge.procedures[at.walk.procedure]


def limits(step: Step) -> str:
    """Return what limits a step, in words."""
    return ", ".join(f"{number.value:g} {plain(unit)}" for unit, number in step.limit.items())


def leave_so(procedure: Procedure) -> tuple[Line, ...]:
    """Return how the site is left when a procedure ends early."""
    if not procedure.after:
        return ()
    return (Line("say", "Leave it so:"), *lines("item", procedure.after))


def leave_turn(talk: Talk, at: Progress) -> Turn:
    """Return the turn that asks why the procedure is left."""
    procedure = procedure_of(talk, at)
    typed = Typed("leave", "Why? A few words:")
    return Turn("leave", procedure.title, "Leave it here?", leave_so(procedure), (), typed=typed)


def left(at: Progress, reason: str) -> ProcedureLeft:
    """Return that the procedure is left, with the reason that was typed."""
    return ProcedureLeft(at.walk.procedure, at.walk.step, reason.strip())


def part_turn(talk: Talk, at: Progress, unfit: str = "") -> Turn:
    """Return the turn that asks for the numbers of this step; ``unfit`` says what was wrong."""
    name, parts = wanted(talk, at)
    reading = talk.subject.knowledge.readings[name]
    asked = ", ".join(f"{part} in {reading.takes[part]}" for part in parts)
    said = [f"{part} {value:g}" for part, value in at.walk.read.get(name, {}).items()]
    body = [Line("say", f"Wanted: {asked}.")]
    body += also(reading, at)
    body += [Line("say", f"Read before: {', '.join(said)}.")] if said else []
    body += [Line("caution", unfit)] if unfit else []
    typed = Typed("part", "Numbers, with spaces between:")
    return Turn("reading", "Measured", reading.title, tuple(body), (), typed=typed)


def part_read(talk: Talk, at: Progress, text: str) -> AnyEvent | Turn:
    """Return the numbers that were typed, as a reading once all of its parts are there."""
    name, parts = wanted(talk, at)
    reading = talk.subject.knowledge.readings[name]
    try:
        now = numbers_of(reading, parts, text)
        whole = {**at.walk.read.get(name, {}), **now}
        if not reading.missing({**of_site(reading, at), **whole}):
            whole = {**of_site(reading, at), **whole}
            read(talk.subject, Taken(name, whole), at.evidence.layout)
            return Measured(name, whole)
    except (UnfitNumberError, UnfitReadingError) as error:
        return part_turn(talk, at, str(error))
    refusal = reading.refusal(now)
    return part_turn(talk, at, refusal) if refusal else PartRead(name, now)


def wanted(talk: Talk, at: Progress) -> tuple[str, tuple[str, ...]]:
    """Return the reading that is taken at this step, and the parts of it."""
    step = procedure_of(talk, at).steps[at.walk.step]
    return next(iter(step.takes.items()))


def _stopped(at: Progress, procedure: Procedure, step: Step, heading: str) -> Turn:
    body = (*_caution(step), *leave_so(procedure))
    over = ProcedureLeft(at.walk.procedure, at.walk.step)
    again = ProcedureBack(at.walk.procedure, at.walk.step)
    replies = (
        Reply(ENTER, "read: the procedure ends here", over),
        Reply("b", "it was not so: back to the step", again),
    )
    return Turn("stopped", f"{heading}. It ends here", step.stop_when, body, replies)


def _body(at: Progress, step: Step) -> tuple[Line, ...]:
    body = list(_caution(step))
    if step.limit:
        body.append(Line("say", f"Limit: {limits(step)}."))
    if step.stop_when:
        body.append(Line("danger", f"Stop when: {step.stop_when}"))
    if step.meanwhile:
        body.append(Line("say", f"Meanwhile: {step.meanwhile}"))
    body += _tries(at, step)
    if at.walk.timer:
        started = at.walk.timer[11:19]
        body.append(Line("note", f"The timer was started at {started} (UTC)."))
    return tuple(body)


def _tries(at: Progress, step: Step) -> list[Line]:
    """How many of the tries have been used, where a step has a number of them."""
    most = step.limit.get(TRIES)
    if most is None:
        return []
    count = at.walk.tries.get(at.walk.step, 1)
    if count < most.value:
        return [Line("say", f"Try {count} of {most.value:g}.")]
    return [Line("caution", f"Try {count} of {most.value:g}: the last one. After it, stop here.")]


def _caution(step: Step) -> tuple[Line, ...]:
    return (Line("caution", step.caution),) if step.caution else ()


def _on(talk: Talk, at: Progress, procedure: Procedure, step: Step) -> list[Reply]:
    """How it goes on."""
    name, number = at.walk.procedure, at.walk.step
    last = number + 1 == len(procedure.steps)
    replies = []
    readings = talk.subject.knowledge.readings
    if any(f in talk.subject.findings for r in step.takes for f in readings[r].findings):
        parts = ", ".join(part for taken in step.takes.values() for part in taken)
        replies.append(Reply("m", f"measured: {parts}", view="part"))
    done = "done: that was the last step" if last else "done, go on"
    replies.append(Reply(ENTER, done, ProcedureStepDone(name, number)))
    if step.stop_when:
        replies.append(Reply("x", "it stopped me", ProcedureStopped(name, number)))
    return replies


def _timer(at: Progress, step: Step) -> list[Reply]:
    minutes = step.limit.get(MINUTES)
    if minutes is None:
        return []
    label = "timer anew" if at.walk.timer else f"timer {minutes.value:g} min"
    return [Reply("t", label, TimerStarted(at.walk.procedure, at.walk.step))]


def _aside(at: Progress, step: Step) -> list[Reply]:
    """What leads away from the step."""
    name, number = at.walk.procedure, at.walk.step
    replies = [Reply("b", "back one", ProcedureBack(name, number - 1))] if number else []
    most = step.limit.get(TRIES)
    if most is not None and at.walk.tries.get(number, 1) < most.value:
        replies.append(Reply("r", "another try", ProcedureBack(name, number)))
    if step.meanwhile:
        replies.append(Reply("a", "tell more", view="search"))
    return [*replies, Reply("l", "leave it", view="leave")]


def _until(at: Progress, step: Step) -> float:
    """When the timer runs out, in seconds since 1970; 0 where none runs."""
    minutes = step.limit.get(MINUTES)
    if not at.walk.timer or minutes is None:
        return 0.0
    return seconds_of(at.walk.timer) + minutes.value * 60.0
