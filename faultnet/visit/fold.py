"""From entries to where the visit stands: the case, and the conversation about it."""

from collections.abc import Iterable
from functools import singledispatch

from msgspec.structs import replace

from faultnet.advice.subject import Subject
from faultnet.cases import events as e
from faultnet.cases.entry import Entry
from faultnet.cases.fold import fold
from faultnet.visit.progress import Progress, Walk, wrong
from faultnet.visit.walked import walked

Own = tuple[str, str, bool, Walk]
"""What of the conversation is an author's own: picked, step, doing, walk."""


def progress_of(subject: Subject, entries: Iterable[Entry], author: str) -> Progress:
    """Return where a visit stands after its entries, as an author sees it.

    Whoever is new to the case goes on where the one before them was.
    """
    case = fold(subject, entries)
    at = Progress(case)
    own: dict[str, Own] = {}
    for each in case.entries:
        writer = each.entry.author
        at = _of(at, own.get(writer))
        at = _after(each.entry.event, subject, at)
        at = replace(at, walk=walked(at.walk, each.entry, subject.knowledge))
        own[writer] = at.picked, at.step, at.doing, at.walk
    at = _of(at, own.get(author))
    return replace(at, speaker=case.sitting(author).speaker, case=case)


def _of(at: Progress, own: Own | None) -> Progress:
    """Return where one author stands."""
    if own is None:
        return at
    picked, step, doing, walk = own
    return replace(at, picked=picked, step=step, doing=doing, walk=walk)


@singledispatch
def _after(_event: e.Event, _subject: Subject, at: Progress) -> Progress:
    """Return where the conversation stands after one more event; most do not move it."""
    return at


@_after.register
def _(event: e.Opened, _subject: Subject, at: Progress) -> Progress:
    return replace(at, speaker=event.speaker)


@_after.register
def _(event: e.Joined, _subject: Subject, at: Progress) -> Progress:
    before, at = at.speaker, replace(at, speaker=event.speaker)
    if (before, event.speaker) != ("caller", "technician"):
        return at
    # Who stands at the pump looks anew, first for danger: a caller's word is not a look.
    passed = at.passed - {"dangers", "danger-list"}
    at = replace(_fresh(at), passed=passed, unknown=frozenset(), denied=frozenset())
    return replace(at, picked="", walk=Walk())


@_after.register
def _(event: e.CallTold, _subject: Subject, at: Progress) -> Progress:
    return replace(at, sheet=_on_sheet(at, {event.field: event.text}))


@_after.register
def _(event: e.Named, _subject: Subject, at: Progress) -> Progress:
    told = {"name": event.name, "address": event.address, "call-back": event.contact}
    return replace(at, sheet=_on_sheet(at, {k: v for k, v in told.items() if v}))


@_after.register
def _(event: e.ProcedureBegun, _subject: Subject, at: Progress) -> Progress:
    walks = tuple(dict.fromkeys((*at.walks, event.procedure)))
    return replace(at, walks=walks, walk_open=event.procedure)


@_after.register
def _(event: e.Told, subject: Subject, at: Progress) -> Progress:
    about, picked = event.about, at.picked
    by_itself = not at.step or picked == about
    at = replace(at, unknown=at.unknown - {about}, denied=at.denied - {about})
    at = replace(at, picked="" if picked == about else picked)
    finding = subject.knowledge.findings.get(about)
    if finding and by_itself and wrong(finding, event.answer) and not finding.history:
        return replace(at, complaints=tuple(dict.fromkeys((*at.complaints, about))))
    return at


@_after.register
def _(event: e.Denied, _subject: Subject, at: Progress) -> Progress:
    return replace(at, denied=at.denied | set(event.findings))


@_after.register
def _(event: e.Measured, subject: Subject, at: Progress) -> Progress:
    findings = frozenset(subject.knowledge.readings[event.reading].findings)
    picked = "" if at.picked in findings else at.picked
    return replace(at, unknown=at.unknown | findings, picked=picked)


@_after.register
def _(event: e.NotKnown, _subject: Subject, at: Progress) -> Progress:
    picked = "" if at.picked == event.about else at.picked
    return replace(at, unknown=at.unknown | {event.about}, picked=picked)


@_after.register
def _(event: e.Picked, _subject: Subject, at: Progress) -> Progress:
    return replace(at, picked=event.about)


@_after.register
def _(event: e.Passed, _subject: Subject, at: Progress) -> Progress:
    return replace(at, passed=at.passed | {event.stage})


@_after.register
def _(event: e.MadeSafe, subject: Subject, at: Progress) -> Progress:
    finding = event.finding
    entry = subject.network.findings[subject.findings[finding]]
    if entry.links or entry.follows:
        return at
    # No fault makes it: once it is dealt with it says nothing about the trouble.
    complaints = tuple(c for c in at.complaints if c != finding)
    return replace(at, complaints=complaints, unknown=at.unknown | {finding})


@_after.register
def _(event: e.StepBegun, _subject: Subject, at: Progress) -> Progress:
    return replace(at, step=event.step, doing=False)


@_after.register
def _(event: e.StepSkipped, _subject: Subject, at: Progress) -> Progress:
    put_off = (*(s for s in at.put_off if s != event.step), event.step)
    return replace(at, step="", doing=False, put_off=put_off, walk_open="")


@_after.register
def _(event: e.StepDone, subject: Subject, at: Progress) -> Progress:
    unknown = at.unknown - set(subject.knowledge.checks[event.step].reveals)
    done = tuple(dict.fromkeys((*at.done, event.step)))
    return replace(at, step=event.step, doing=True, unknown=unknown, done=done)


@_after.register
def _(_event: e.RepairDone, subject: Subject, at: Progress) -> Progress:
    at = _new_round(subject, at)
    passed = at.passed - {"put-back"}
    return replace(at, passed=passed, trying=True, works=None, proof="", walk_open="")


@_after.register
def _(_event: e.RoundBegun, subject: Subject, at: Progress) -> Progress:
    return _new_round(subject, at)


@_after.register
def _(event: e.Works, _subject: Subject, at: Progress) -> Progress:
    return replace(at, works=event.works)


@_after.register
def _(event: e.Proved, _subject: Subject, at: Progress) -> Progress:
    passed = at.passed - {"seen"} if event.proof == "no" else at.passed
    return replace(at, proof=event.proof, passed=passed)


@_after.register
def _(event: e.TakenBack, _subject: Subject, at: Progress) -> Progress:
    complaints = tuple(c for c in at.complaints if c != event.about)
    return replace(at, complaints=complaints, unknown=at.unknown | {event.about})


@_after.register
def _(_event: e.Paused, _subject: Subject, at: Progress) -> Progress:
    return replace(at, paused=True)


@_after.register
def _(_event: e.Resumed, _subject: Subject, at: Progress) -> Progress:
    return replace(at, paused=False)


@_after.register
def _(event: e.Ending, _subject: Subject, at: Progress) -> Progress:
    return replace(at, ending=event.how)


@_after.register
def _(event: e.Ended, _subject: Subject, at: Progress) -> Progress:
    return replace(at, ended=event.how)


@_after.register
def _(_event: e.Reopened, _subject: Subject, at: Progress) -> Progress:
    proof = "" if at.proof in {"yes", "later"} else at.proof
    return replace(at, ending="", ended="", paused=False, proof=proof)


@_after.register
def _(event: e.AdviceShown, _subject: Subject, at: Progress) -> Progress:
    return replace(at, shown=event.step)


@_after.register
def _(event: e.DangerMet, _subject: Subject, at: Progress) -> Progress:
    return replace(at, met=at.met | {event.finding})


def _new_round(subject: Subject, at: Progress) -> Progress:
    return replace(_fresh(at), unknown=at.unknown & set(subject.roots))


def _fresh(at: Progress) -> Progress:
    """Return the progress with no step begun, done or put off."""
    return replace(at, step="", doing=False, put_off=(), done=(), shown="", met=frozenset())


def _on_sheet(at: Progress, told: dict[str, str]) -> dict[str, str]:
    """Return the call sheet with more told; what was told as nothing stays a blank."""
    return {**at.sheet, **{field: text.strip() for field, text in told.items()}}
