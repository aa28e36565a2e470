"""Events and answers in words."""

from faultnet.advice.subject import Subject
from faultnet.cases import events as e
from faultnet.model.evidence import Taken
from faultnet.visit.figures import numbers_said
from faultnet.visit.turn import plain

SPECIALIST = "Hand over to the specialist"

HOW = {
    "mended": "Mended and proved",
    "mended-proof-open": "Mended; the proof is still to come",
    "works-again": "Works again, mended in another way",
    "made-safe": "Made safe only",
    "temporary": "Temporary repair",
    "part-on-order": "Part on order",
    "declined": "Declined by the customer",
    "no-fault": "No fault found",
    "no-access": "No access",
    "referred": "Handed over to the specialist",
}
"""How a visit can end."""

_NAMING: dict[type[e.Event], tuple[str, str]] = {
    e.MadeSafe: ("Made safe", "finding"),
    e.StepBegun: ("Begun", "step"),
    e.StepSkipped: ("Put off", "step"),
    e.StepDone: ("Done", "step"),
    e.RepairDone: ("Done", "repair"),
    e.AdviceShown: ("Offered", "step"),
    e.DangerMet: ("Danger", "finding"),
    e.Photo: ("Picture", "reference"),
    e.AtSite: ("Site", "site"),
    e.Follows: ("Follows", "case"),
    e.Joined: ("Taken up by a", "who"),
    e.Opened: ("Opened by a", "speaker"),
    e.TakenBack: ("Left out", "about"),
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


def title_of(subject: Subject, about: str) -> str:
    """Return the title of anything that has one."""
    known = subject.knowledge
    entries: tuple[dict[str, object], ...] = (
        {**known.findings},
        {**known.circumstances},
        {**known.layouts},
        {**known.readings},
        {**known.checks},
        {**known.repairs},
        {**known.set_ups},
    )
    for each in entries:
        if about in each:
            return str(getattr(each[about], "title", about))
    if about.startswith("called:"):
        return f"Call in: {about.removeprefix('called:')}"
    return SPECIALIST if about == "specialist" else plain(about)


def answer_said(subject: Subject, about: str, answer: str) -> str:
    """Return an answer as it is said."""
    layout = subject.knowledge.layouts.get(about)
    for value in layout.values if layout else ():
        if value.id == answer:
            return value.title
    return "cannot be taken" if answer == "cannot" else plain(answer)


def said(subject: Subject, event: e.Event) -> str:
    """Return an event as one short line; empty where there is nothing to say."""

    def title(about: str) -> str:
        return title_of(subject, about)

    match event:
        case e.Told(about, answer):
            return f"{title(about)}: {answer_said(subject, about, answer)}"
        case e.NotKnown(about):
            return f"{title(about)}: not known"
        case e.Denied(_):
            return "None of these dangers"
        case e.Note(text):
            return text
        case e.Measured(reading, parts) | e.PartRead(reading, parts):
            return f"{title(reading)}: {numbers_said(subject, Taken(reading, parts), {})}"
    return _on_sheet(event) or _walked(subject, event) or _done(subject, event)


def _on_sheet(event: e.Event) -> str:
    """Return what was told for the call sheet in words; nothing for others."""
    match event:
        case e.CallTold(field, text):
            return f"{plain(field).capitalize()}: {text}" if text else ""
        case e.Named(name, address, contact):
            return ", ".join(filter(None, (name, address, contact)))
    return ""


def _walked(subject: Subject, event: e.Event) -> str:
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


def _done(subject: Subject, event: e.Event) -> str:
    match event:
        case e.SetUpMade(set_ups):
            return "Made: " + ", ".join(title_of(subject, s) for s in set_ups)
        case e.SetUpUndone(set_ups):
            return "Undone: " + ", ".join(title_of(subject, s) for s in set_ups)
        case e.Works(works):
            return "Works as it should" if works else "Does not work as it should"
        case e.Proved(proof):
            return f"The repair is {_PROOF.get(proof, proof)}"
        case e.Ended(how):
            return HOW.get(how, plain(how))
    word, field = _NAMING.get(type(event), ("", ""))
    return f"{word}: {title_of(subject, getattr(event, field))}" if word else ""
