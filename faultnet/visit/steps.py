"""The best next step, and the one that is being done."""

from faultnet.advice.site import Prices, State, Transition
from faultnet.advice.steps import Advice, Step
from faultnet.model.check import Work
from faultnet.visit.events import (
    Ending,
    RepairDone,
    SetUpMade,
    SetUpUndone,
    StepBegun,
    StepDone,
    StepSkipped,
)
from faultnet.visit.progress import Progress
from faultnet.visit.question import question
from faultnet.visit.talk import Talk
from faultnet.visit.told import title_of
from faultnet.visit.turn import DONE, ENTER, Line, Reply, Turn, lines, plain

SPECIALIST = "specialist"
"""The step that hands over."""


def upcoming(talk: Talk, at: Progress) -> Turn:
    """Return the best step that has not been put off, to be begun."""
    step, again = chosen(talk.counsel.advice(at.evidence), at)
    heading = "Put off before; nothing better is left" if again else _heading(step)
    body = [
        Line("say", duration(step.minutes, step.waiting, _setting(step))),
        *(lines("say", (step.reason,)) if step.reason else ()),
    ]
    body += _needs(talk, step.id)
    body += lines("caution", step.cautions)
    if step.setups:
        first = [_first(each) for each in step.setups]
        body += [Line("say", "First:"), *lines("item", tuple(first))]
    else:
        body += lines("do", step.do)
    return Turn("step", heading, step.title, tuple(body), (*_begin(step), _skip(step.id)))


def chosen(advice: Advice, at: Progress) -> tuple[Step, bool]:
    """Return the best step that is neither done nor put off; else the one put off longest.

    The flag says that it had been put off.
    """
    for step in advice.steps:
        if step.id not in at.done and step.id not in at.put_off:
            return step, False
    by_id = {step.id: step for step in advice.steps}
    for name in at.put_off:
        if name in by_id:
            return by_id[name], True
    return by_id.get(SPECIALIST, advice.steps[-1]), True


def current(talk: Talk, at: Progress) -> Turn | None:
    """Return the next turn of the step that is being done, unless it is over."""
    if not at.step:
        return None
    if at.doing:
        return _next_question(talk, at)
    transitions = _transitions(talk, at)
    if transitions:
        return _set_up(talk, at, transitions)
    return _do(talk, at)


def duration(minutes: float, waiting: float, setting: float) -> str:
    """Return how long a step takes, in words."""
    parts = [
        (minutes, "of work"),
        (setting, "to set up and put back"),
        (waiting, "of waiting"),
    ]
    told = [f"{each:.0f} {what}" for each, what in parts if each]
    whole = f"About {minutes + waiting + setting:.0f} min"
    return f"{whole}: {', '.join(told)}." if len(told) > 1 else f"{whole}."


def _heading(step: Step) -> str:
    return "Best next: a repair" if step.kind == "repair" else "Best next"


def _setting(step: Step) -> float:
    return float(sum(each.minutes for each in step.setups))


def _first(each: Transition) -> str:
    if each.id.startswith("called:"):
        return f"call in somebody {each.id.removeprefix('called:')}"
    return f"{'undo: ' if each.to == 'off' else ''}{each.title}"


def _needs(talk: Talk, step: str) -> list[Line]:
    """What must be there: people, tools, parts."""
    work = _work(talk, step)
    if work is None:
        return []
    repair = talk.subject.knowledge.repairs.get(step)
    needs = [("Bring", work.tools), ("Parts", repair.parts if repair else ())]
    told = [f"{what}: {', '.join(map(plain, ids))}." for what, ids in needs if ids]
    if work.who not in {"caller", "technician", talk.counsel.who}:
        told.append(f"Only for somebody {work.who}.")
    return list(lines("say", tuple(told)))


def _begin(step: Step) -> tuple[Reply, ...]:
    if step.kind == SPECIALIST:
        return (Reply(ENTER, "hand over", Ending("referred")),)
    if step.setups:
        return (Reply(ENTER, "start", StepBegun(step.id)),)
    return _finish(step.id, repair=step.kind == "repair")


def _finish(step: str, *, repair: bool) -> tuple[Reply, ...]:
    if not repair:
        return (Reply(DONE, "done: take what it shows", StepDone(step)),)
    return (
        Reply("y", "yes, the repair is done", RepairDone(step)),
        Reply("h", "how to", view="how"),
    )


def _skip(step: str) -> Reply:
    return Reply("s", "not now: show the next best", StepSkipped(step))


def _work(talk: Talk, step: str) -> Work | None:
    known = talk.subject.knowledge
    entry = known.checks.get(step) or known.repairs.get(step)
    return entry.work if entry else None


def _transitions(talk: Talk, at: Progress) -> tuple[Transition, ...]:
    """What is still to be made or undone before the step."""
    work = _work(talk, at.step)
    state: State = frozenset(at.evidence.set_ups)
    return Prices(talk.subject.knowledge).work(work, state).transitions if work else ()


def _set_up(talk: Talk, at: Progress, transitions: tuple[Transition, ...]) -> Turn:
    first = transitions[0]
    title = title_of(talk.subject, at.step)
    heading = f"First, {len(transitions)} to go. For: {title}"
    if first.id.startswith("called:"):
        done = Reply(DONE, "somebody is here", SetUpMade((first.id,)))
        return Turn("set-up", heading, f"C{_first(first)[1:]}", (), (done, _skip(at.step)))
    entry = talk.subject.knowledge.set_ups[first.id]
    if first.to == "off":
        done = Reply(DONE, "undone", SetUpUndone((first.id,)))
        body = lines("caution", entry.cautions)
        return Turn("set-up", heading, f"Undo: {first.title}", body, (done, _skip(at.step)))
    body = (
        Line("say", duration(entry.make.value, 0.0, 0.0)),
        *lines("caution", entry.cautions),
        *lines("do", entry.steps),
    )
    done = Reply(DONE, "done", SetUpMade((first.id,)))
    return Turn("set-up", heading, entry.title, body, (done, _skip(at.step)))


def _do(talk: Talk, at: Progress) -> Turn | None:
    work = _work(talk, at.step)
    if work is None:
        return None
    repair = at.step in talk.subject.knowledge.repairs
    body = (*lines("caution", work.cautions), *lines("do", work.steps))
    replies = (*_finish(at.step, repair=repair), _skip(at.step))
    heading = "Is the repair done?" if repair else "Now"
    return Turn("do", heading, title_of(talk.subject, at.step), body, replies)


def _next_question(talk: Talk, at: Progress) -> Turn | None:
    check = talk.subject.knowledge.checks.get(at.step)
    reveals = check.reveals if check else ()
    read = {talk.subject.knowledge.readings[t.reading].finding for t in at.now.taken}
    left = [
        about
        for about in reveals
        if not at.settled(about) and about not in read and _open(talk, at, about)
    ]
    if not left:
        return None
    more = f", {len(left)} to go" if len(left) > 1 else ""
    turn = question(talk, at, left[0], f"{title_of(talk.subject, at.step)}{more}")
    return Turn(
        turn.kind,
        turn.heading,
        turn.title,
        turn.lines,
        (*turn.replies, Reply("s", "not now: leave this step", StepSkipped(at.step))),
    )


def _open(talk: Talk, at: Progress, about: str) -> bool:
    if about in talk.subject.roots:
        root = talk.subject.network.roots[talk.subject.roots[about]]
        return sum(p > 0.0 for p in root.prior) > 1
    return about in talk.subject.findings and talk.askable(at, about)
