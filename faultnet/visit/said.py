"""Events of a case in words."""

from functools import singledispatch

from faultnet.advice.subject import Subject
from faultnet.cases import events as e
from faultnet.model.evidence import Taken
from faultnet.model.in_words import plain
from faultnet.visit.call_sheet import field_said
from faultnet.visit.figures import numbers_said
from faultnet.visit.sheet.line import line_said
from faultnet.visit.told import HOW, OUTCOMES, WHY_NOT, answer_said, title_of

_NAMING: dict[type[e.Event], tuple[str, str]] = {
    e.MadeSafe: ("Made safe", "finding"),
    e.StepBegun: ("Begun", "step"),
    e.StepDone: ("Done", "step"),
    e.RepairDone: ("Done", "repair"),
    e.AdviceShown: ("Offered", "step"),
    e.DangerMet: ("Danger", "finding"),
    e.Photo: ("Picture", "reference"),
    e.AtSite: ("Site", "site"),
    e.Follows: ("Follows", "case"),
    e.Joined: ("Taken up by", "who"),
    e.Opened: ("Opened by", "speaker"),
    e.TakenBack: ("Left out", "about"),
    e.Agreed: ("Agreed by the customer", "step"),
}
_WALKING: dict[type[e.Event], str] = {
    e.ProcedureBegun: "Begun",
    e.ProcedureStepDone: "Done",
    e.ProcedureBack: "Back",
    e.TimerStarted: "Timer started",
    e.ProcedureStopped: "Stopped",
    e.ProcedureLeft: "Left",
}
_PROOF = {"yes": "proved", "no": "not proved", "later": "still to be proved"}


def said(subject: Subject, event: e.Event) -> str:
    """Return an event as one short line; empty where there is nothing to say."""
    return _walk_said(subject, event) or _said(event, subject)


def found_said(subject: Subject, found: e.AsFound) -> str:
    """Return how something was found on arrival, in words."""
    look = subject.knowledge.as_found[found.look]
    shown = look.shown(found.answer)
    value = f"{found.value:g} {look.unit}" if found.value is not None else "not seen"
    return f"{look.title}: {shown.title if shown else value}"


def tried_said(subject: Subject, tried: e.Tried) -> str:
    """Return what was tried, and what became of it, in words."""
    what = title_of(subject, tried.repair) if tried.repair else tried.text
    return f"{what}: {OUTCOMES[tried.outcome]}" if tried.outcome else what


def _walk_said(subject: Subject, event: e.Event) -> str:
    """Return an event of a procedure in words; nothing for others."""
    word = _WALKING.get(type(event), "")
    name = getattr(event, "procedure", "")
    if not word or name not in subject.knowledge.procedures:
        return ""
    procedure = subject.knowledge.procedures[name]
    if isinstance(event, e.ProcedureBegun):
        return f"{word}: {procedure.title}"
    step = getattr(event, "number", 0)
    why = getattr(event, "reason", "")
    if isinstance(event, e.ProcedureStopped):
        why = procedure.steps[step].stop_when
    elif isinstance(event, e.ProcedureLeft) and not why:
        return ""
    place = f"{word}: {procedure.title}, step {step + 1}"
    return f"{place}: {why}" if why else place


@singledispatch
def _said(event: e.Event, subject: Subject) -> str:
    """Return an event that names one thing, or a line of the sheet; nothing for others."""
    word, field = _NAMING.get(type(event), ("", ""))
    return f"{word}: {title_of(subject, getattr(event, field))}" if word else line_said(event)


@_said.register
def _(event: e.Told, subject: Subject) -> str:
    answer = answer_said(subject, event.about, event.answer)
    return f"{title_of(subject, event.about)}: {answer}{', corrected' if event.corrects else ''}"


@_said.register
def _(event: e.NotKnown, subject: Subject) -> str:
    return f"{title_of(subject, event.about)}: not known"


@_said.register
def _(_event: e.Denied, _subject: Subject) -> str:
    return "None of these dangers"


@_said.register
def _(event: e.Note, _subject: Subject) -> str:
    return event.text


@_said.register
def _(event: e.CallTold, _subject: Subject) -> str:
    return field_said(event.field, event.text) if event.text else ""


@_said.register
def _(event: e.Named, _subject: Subject) -> str:
    return ", ".join(filter(None, (event.name, event.address, event.contact)))


@_said.register
def _(event: e.AsFound, subject: Subject) -> str:
    return found_said(subject, event)


@_said.register(e.Measured)
@_said.register(e.PartRead)
def _(event: e.Measured | e.PartRead, subject: Subject) -> str:
    numbers = numbers_said(subject, Taken(event.reading, event.parts), {})
    return f"{title_of(subject, event.reading)}: {numbers}"


@_said.register
def _(event: e.SetUpMade, subject: Subject) -> str:
    return "Made: " + ", ".join(title_of(subject, s) for s in event.set_ups)


@_said.register
def _(event: e.SetUpUndone, subject: Subject) -> str:
    return "Undone: " + ", ".join(title_of(subject, s) for s in event.set_ups)


@_said.register
def _(event: e.StepSkipped, subject: Subject) -> str:
    why = event.text or WHY_NOT.get(event.reason, "")
    return f"Put off: {title_of(subject, event.step)}{f' ({why})' if why else ''}"


@_said.register
def _(event: e.Tried, subject: Subject) -> str:
    return f"Tried: {tried_said(subject, event)}"


@_said.register
def _(event: e.Suspected, subject: Subject) -> str:
    return f"Suspected: {title_of(subject, event.cause) if event.cause else event.text}"


@_said.register
def _(event: e.Confirmed, subject: Subject) -> str:
    if event.unlisted:
        return f"Had been wrong, and is not in the files: {event.text or 'not told in words'}"
    if not event.cause:
        return "What had been wrong could not be seen"
    return f"Had been wrong: {title_of(subject, event.cause)}"


@_said.register
def _(event: e.Works, _subject: Subject) -> str:
    return "Works as it should" if event.works else "Does not work as it should"


@_said.register
def _(event: e.Proved, _subject: Subject) -> str:
    return f"The repair is {_PROOF.get(event.proof, event.proof)}"


@_said.register
def _(event: e.Ended, _subject: Subject) -> str:
    return HOW.get(event.how, plain(event.how))
