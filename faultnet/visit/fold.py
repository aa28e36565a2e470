"""From entries to where the visit stands: the case, and the conversation about it."""

from collections.abc import Iterable
from functools import singledispatch

from msgspec.structs import replace

from faultnet.advice.subject import Subject
from faultnet.cases import events as e
from faultnet.cases.entry import Entry
from faultnet.cases.fits import amounts_to
from faultnet.cases.fold import fold
from faultnet.visit.progress import Progress, Walk, wrong
from faultnet.visit.walked import walked

Own = tuple[str, str, bool, str, Walk]
"""What of the conversation is an author's own: picked, step, doing, instead of what, walk."""


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
        own[writer] = at.picked, at.step, at.doing, at.instead_of, at.walk
    at = _of(at, own.get(author))
    return replace(at, speaker=case.sitting(author).speaker, case=case)


def _of(at: Progress, own: Own | None) -> Progress:
    """Return where one author stands."""
    if own is None:
        return at
    picked, step, doing, instead_of, walk = own
    return replace(at, picked=picked, step=step, doing=doing, instead_of=instead_of, walk=walk)


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
    return replace(at, call_sheet=_on_sheet(at, {event.field: event.text}))


@_after.register
def _(event: e.Named, _subject: Subject, at: Progress) -> Progress:
    told = {"name": event.name, "address": event.address, "call-back": event.contact}
    return replace(at, call_sheet=_on_sheet(at, {k: v for k, v in told.items() if v}))


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
    if finding is None or finding.history:
        return at
    if by_itself and wrong(finding, event.answer):
        return replace(at, complaints=tuple(dict.fromkeys((*at.complaints, about))))
    return _without(at, about) if event.corrects and not wrong(finding, event.answer) else at


def _without(at: Progress, about: str) -> Progress:
    """Return where it stands with one complaint less."""
    return replace(at, complaints=tuple(c for c in at.complaints if c != about))


@_after.register
def _(event: e.AsFound, subject: Subject, at: Progress) -> Progress:
    at = replace(at, found_as=at.found_as | {event.look})
    for told in amounts_to(subject, event):
        at = _after(told, subject, at)
    return at


@_after.register
def _(event: e.Denied, _subject: Subject, at: Progress) -> Progress:
    return replace(at, denied=at.denied | set(event.findings))


@_after.register
def _(event: e.Tried, _subject: Subject, at: Progress) -> Progress:
    return replace(at, tried=(*at.tried, event))


@_after.register
def _(event: e.Agreed, _subject: Subject, at: Progress) -> Progress:
    return replace(at, agreed=at.agreed | {event.step})


@_after.register
def _(_event: e.OwnViewFirst, _subject: Subject, at: Progress) -> Progress:
    return replace(at, own_view=True)


@_after.register
def _(event: e.Suspected, _subject: Subject, at: Progress) -> Progress:
    return replace(at, suspect=event)


@_after.register
def _(event: e.Confirmed, _subject: Subject, at: Progress) -> Progress:
    return replace(at, confirmed=at.confirmed | {event.round})


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
    if entry.has_sources:
        return at
    # No repair ends it, so none is followed by asking for it again.
    return replace(_without(at, finding), unknown=at.unknown | {finding})


@_after.register
def _(event: e.StepBegun, _subject: Subject, at: Progress) -> Progress:
    return replace(at, step=event.step, doing=False, instead_of=event.instead_of)


@_after.register
def _(event: e.StepSkipped, _subject: Subject, at: Progress) -> Progress:
    put_off = (*(s for s in at.put_off if s != event.step), event.step)
    lasting = (event.step,) if event.reason in e.LASTING else ()
    refused = tuple(dict.fromkeys((*at.refused, *lasting)))
    return replace(at, step="", doing=False, put_off=put_off, refused=refused, walk_open="")


@_after.register
def _(event: e.StepDone, subject: Subject, at: Progress) -> Progress:
    unknown = at.unknown - set(subject.knowledge.checks[event.step].reveals)
    done = tuple(dict.fromkeys((*at.done, event.step)))
    return replace(at, step=event.step, doing=True, unknown=unknown, done=done)


@_after.register
def _(_event: e.RepairDone, subject: Subject, at: Progress) -> Progress:
    at = _new_round(subject, at)
    passed = at.passed - {"put-back", "chain"}
    return replace(at, passed=passed, trying=True, works=None, proof="", walk_open="")


@_after.register
def _(_event: e.RoundBegun, subject: Subject, at: Progress) -> Progress:
    return _new_round(subject, at)


@_after.register
def _(event: e.Works, _subject: Subject, at: Progress) -> Progress:
    return replace(at, works=event.works)


@_after.register
def _(event: e.Proved, _subject: Subject, at: Progress) -> Progress:
    over = {"sheet", "seen"} if event.proof == "no" else {"sheet"}
    return replace(at, proof=event.proof, passed=at.passed - over)


@_after.register
def _(event: e.TakenBack, _subject: Subject, at: Progress) -> Progress:
    return replace(_without(at, event.about), unknown=at.unknown | {event.about})


@_after.register
def _(_event: e.Paused, _subject: Subject, at: Progress) -> Progress:
    return replace(at, paused=True)


@_after.register
def _(_event: e.Resumed, _subject: Subject, at: Progress) -> Progress:
    return replace(at, paused=False)


@_after.register
def _(event: e.Ending, _subject: Subject, at: Progress) -> Progress:
    return replace(at, ending=event.how, passed=at.passed - {"sheet"})


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
    passed = at.passed - {"compared"}
    fresh = replace(_fresh(at), unknown=at.unknown & set(subject.roots), passed=passed)
    return replace(fresh, suspect=None, put_off=at.refused)


def _fresh(at: Progress) -> Progress:
    """Return the progress with no step begun, done or put off."""
    at = replace(at, step="", doing=False, instead_of="", put_off=(), done=())
    return replace(at, shown="", met=frozenset())


def _on_sheet(at: Progress, told: dict[str, str]) -> dict[str, str]:
    """Return the call sheet with more told; what was told as nothing stays a blank."""
    return {**at.call_sheet, **{field: text.strip() for field, text in told.items()}}
