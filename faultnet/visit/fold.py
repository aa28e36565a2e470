"""From events to where the visit stands; an event that no longer fits is passed over."""

from functools import singledispatch
from typing import Any

from msgspec.structs import replace

from faultnet.advice.subject import Subject
from faultnet.model.evidence import Answer, Evidence, Round, Taken
from faultnet.visit import events as e
from faultnet.visit.fits import fits
from faultnet.visit.progress import Progress, with_answer, wrong


def progress_of(subject: Subject, events: tuple[e.Event, ...]) -> Progress:
    """Return where a visit stands after its events."""
    at = Progress()
    for event in e.counting(events):
        at = after(event, subject, at)
    return at


@singledispatch
def _fold(event: e.Event, subject: Subject, at: Progress) -> Progress:
    raise TypeError(event, subject, at)


def after(event: e.Event, subject: Subject, at: Progress) -> Progress:
    """Return where the visit stands after one more event."""
    return _fold(event, subject, at) if fits(subject, event) else at


@_fold.register
def _(event: e.Opened, subject: Subject, at: Progress) -> Progress:  # noqa: ARG001
    called = () if event.who == "technician" else (f"called:{event.who}",)
    return replace(_with(at, set_ups=called), speaker=event.speaker)


@_fold.register
def _(event: e.Denied, subject: Subject, at: Progress) -> Progress:
    now = at.now
    for finding in event.findings:
        if finding in subject.findings and not at.said(finding):
            now = with_answer(now, Answer(finding, "no", at.speaker))
    return _with_now(at, now)


@_fold.register
def _(event: e.Told, subject: Subject, at: Progress) -> Progress:
    about, picked = event.about, at.picked
    by_itself = not at.step or picked == about
    at = replace(at, unknown=at.unknown - {about}, picked="" if picked == about else picked)
    known = at.evidence
    if about in subject.system.layout:
        return _with(at, layout={**known.layout, about: event.answer})
    if about in subject.system.circumstances:
        return _with(at, circumstances={**known.circumstances, about: event.answer == "yes"})
    at = _with_now(at, with_answer(at.now, Answer(about, event.answer, at.speaker)))
    finding = subject.knowledge.findings[about]
    if by_itself and wrong(finding, event.answer) and not finding.history:
        return replace(at, complaints=tuple(dict.fromkeys((*at.complaints, about))))
    return at


@_fold.register
def _(event: e.Measured, subject: Subject, at: Progress) -> Progress:
    finding = subject.knowledge.readings[event.reading].finding
    kept = [t for t in at.now.taken if t.reading != event.reading]
    at = _with_now(at, replace(at.now, taken=(*kept, Taken(event.reading, event.parts))))
    picked = "" if at.picked == finding else at.picked
    return replace(at, unknown=at.unknown | {finding}, picked=picked)


@_fold.register
def _(event: e.NotKnown, subject: Subject, at: Progress) -> Progress:  # noqa: ARG001
    picked = "" if at.picked == event.about else at.picked
    return replace(at, unknown=at.unknown | {event.about}, picked=picked)


@_fold.register
def _(event: e.Picked, subject: Subject, at: Progress) -> Progress:  # noqa: ARG001
    return replace(at, picked=event.about)


@_fold.register
def _(event: e.Passed, subject: Subject, at: Progress) -> Progress:  # noqa: ARG001
    return replace(at, passed=at.passed | {event.stage})


@_fold.register
def _(event: e.MadeSafe, subject: Subject, at: Progress) -> Progress:
    finding = event.finding
    at = _with(at, made_safe=(*at.evidence.made_safe, finding))
    entry = subject.network.findings[subject.findings[finding]]
    if entry.links or entry.follows:
        return at
    # No fault makes it: once it is dealt with it says nothing about the trouble.
    complaints = tuple(c for c in at.complaints if c != finding)
    at = replace(at, complaints=complaints, unknown=at.unknown | {finding})
    return _with_now(at, _without(subject, at.now, finding))


@_fold.register
def _(event: e.StepBegun, subject: Subject, at: Progress) -> Progress:  # noqa: ARG001
    return replace(at, step=event.step, doing=False)


@_fold.register
def _(event: e.StepSkipped, subject: Subject, at: Progress) -> Progress:  # noqa: ARG001
    put_off = (*(s for s in at.put_off if s != event.step), event.step)
    return replace(at, step="", doing=False, put_off=put_off)


@_fold.register
def _(event: e.SetUpMade, subject: Subject, at: Progress) -> Progress:  # noqa: ARG001
    return _with(at, set_ups=tuple(dict.fromkeys((*at.evidence.set_ups, *event.set_ups))))


@_fold.register
def _(event: e.SetUpUndone, subject: Subject, at: Progress) -> Progress:  # noqa: ARG001
    left = tuple(s for s in at.evidence.set_ups if s not in event.set_ups)
    return _with(at, set_ups=left)


@_fold.register
def _(event: e.StepDone, subject: Subject, at: Progress) -> Progress:
    check = subject.knowledge.checks[event.step]
    spoilt = [f for f in check.spoils if f in subject.findings and f not in check.reveals]
    spoiled = tuple(dict.fromkeys((*at.now.spoiled, *spoilt)))
    at = _with_now(at, replace(at.now, spoiled=spoiled))
    unknown = at.unknown - set(check.reveals)
    done = tuple(dict.fromkeys((*at.done, event.step)))
    return replace(at, step=event.step, doing=True, unknown=unknown, done=done)


@_fold.register
def _(event: e.RepairDone, subject: Subject, at: Progress) -> Progress:
    ended = replace(at.now, repairs=(*at.now.repairs, event.repair))
    rounds = (*at.evidence.rounds[:-1], ended, Round())
    at = _with(at, rounds=rounds, made_safe=())
    return replace(
        at,
        passed=at.passed - {"put-back"},
        unknown=at.unknown & set(subject.roots),
        step="",
        doing=False,
        put_off=(),
        done=(),
        trying=True,
        works=None,
        proof="",
    )


@_fold.register
def _(event: e.Works, subject: Subject, at: Progress) -> Progress:  # noqa: ARG001
    return replace(at, works=event.works)


@_fold.register
def _(event: e.Proved, subject: Subject, at: Progress) -> Progress:  # noqa: ARG001
    passed = at.passed - {"seen"} if event.proof == "no" else at.passed
    return replace(at, proof=event.proof, passed=passed)


@_fold.register
def _(event: e.TakenBack, subject: Subject, at: Progress) -> Progress:
    about, known = event.about, at.evidence
    rounds = tuple(
        _without(subject, r, about) if n == event.round else r for n, r in enumerate(known.rounds)
    )
    at = _with(
        at,
        rounds=rounds,
        layout={k: v for k, v in known.layout.items() if k != about},
        circumstances={k: v for k, v in known.circumstances.items() if k != about},
    )
    complaints = tuple(c for c in at.complaints if c != about)
    return replace(at, complaints=complaints, unknown=at.unknown | {about})


@_fold.register
def _(event: e.Paused, subject: Subject, at: Progress) -> Progress:  # noqa: ARG001
    return replace(at, paused=True)


@_fold.register
def _(event: e.Resumed, subject: Subject, at: Progress) -> Progress:  # noqa: ARG001
    return replace(at, paused=False)


@_fold.register
def _(event: e.Ending, subject: Subject, at: Progress) -> Progress:  # noqa: ARG001
    return replace(at, ending=event.how)


@_fold.register
def _(event: e.Ended, subject: Subject, at: Progress) -> Progress:  # noqa: ARG001
    return replace(at, ended=event.how)


def _with(at: Progress, **changes: Any) -> Progress:  # noqa: ANN401 fields of the evidence
    evidence: Evidence = replace(at.evidence, **changes)
    return replace(at, evidence=evidence)


def _with_now(at: Progress, now: Round) -> Progress:
    return _with(at, rounds=(*at.evidence.rounds[:-1], now))


def _without(subject: Subject, round_: Round, about: str) -> Round:
    readings = subject.knowledge.readings
    return replace(
        round_,
        answers=tuple(a for a in round_.answers if a.finding != about),
        taken=tuple(
            t for t in round_.taken if about not in {t.reading, readings[t.reading].finding}
        ),
    )
