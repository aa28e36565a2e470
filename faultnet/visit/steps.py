"""The best next step, as it is offered."""

from faultnet.advice.site import Transition
from faultnet.advice.step import Advice, Step
from faultnet.cases.events import (
    AdviceShown,
    Ending,
    RepairDone,
    StepBegun,
    StepDone,
)
from faultnet.model.check import Work
from faultnet.model.in_words import plain
from faultnet.visit.consent import dear
from faultnet.visit.not_now import skip
from faultnet.visit.progress import Progress
from faultnet.visit.talk import Talk
from faultnet.visit.tried import remark
from faultnet.visit.turn import DONE, ENTER, Line, Reply, Turn, lines
from faultnet.visit.waiting import meanwhile

SPECIALIST = "specialist"
"""The step that hands over."""

NOTED = 5
"""Causes that are noted with a step that is offered."""


def upcoming(talk: Talk, at: Progress) -> Turn:
    """Return the best step that has not been put off, to be begun."""
    step, _, again = best(talk, at)
    heading = "Put off before; nothing better is left" if again else _heading(step)
    body = [
        Line("say", duration(step.minutes, step.waiting, _setting(step))),
        *(lines("say", (step.reason,)) if step.reason else ()),
    ]
    work = work_of(talk, step.id)
    body += _needs(talk, step.id)
    body += remark(talk, at, step.id)
    body += lines("caution", step.cautions)
    if step.setups:
        first = [first_of(each) for each in step.setups]
        body += [Line("say", "First:"), *lines("item", tuple(first))]
    else:
        body += lines("do", step.do)
    aside: tuple[Reply, ...] = ()
    if work and not step.setups:
        wait, aside = meanwhile(talk, at, work)
        body += wait
    return Turn(
        "step", heading, step.title, tuple(body), (*_begin(talk, at, step), *aside, skip(step.id))
    )


def best(talk: Talk, at: Progress) -> tuple[Step, Advice, bool]:
    """Return the best step that is neither done nor put off, with the advice it stands in.

    Where all have been put off, it is the one put off longest, and the flag says so.
    """
    advice = talk.counsel.advice(at.evidence)
    left = _left(advice, at)
    if not any(step.kind == "check" for step in left):
        # Only the best checks are in an advice: ask for those that come after them.
        passed = frozenset((*at.done, *at.put_off)) & set(talk.subject.knowledge.checks)
        if passed:
            further = talk.counsel.advice(at.evidence, passed)
            left = _left(further, at)
            advice = further if left else advice
    if left:
        return left[0], advice, False
    by_id = {step.id: step for step in advice.steps}
    again = [by_id[name] for name in at.put_off if name in by_id]
    return (again or [advice.steps[-1]])[0], advice, True


def to_note(talk: Talk, at: Progress) -> AdviceShown | None:
    """Return the step that is offered with the likeliest causes, unless it was noted."""
    step, _, _ = best(talk, at)
    if step.id == at.shown:
        return None
    ranking = talk.counsel.ranking(at.evidence)
    causes = {c.id: round(c.probability, 6) for c in ranking.causes[:NOTED]}
    return AdviceShown(step.id, causes, round(ranking.unlisted, 6))


def _left(advice: Advice, at: Progress) -> list[Step]:
    return [s for s in advice.steps if s.id not in at.done and s.id not in at.put_off]


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


def first_of(each: Transition) -> str:
    """Return what comes before a step, in words."""
    if each.id.startswith("called:"):
        return f"call in somebody {each.id.removeprefix('called:')}"
    return f"{'undo: ' if each.to == 'off' else ''}{each.title}"


def _needs(talk: Talk, step: str) -> list[Line]:
    """What must be there: people, tools, parts."""
    work = work_of(talk, step)
    if work is None:
        return []
    repair = talk.subject.knowledge.repairs.get(step)
    needs = [("Bring", work.tools), ("Parts", repair.parts if repair else ())]
    told = [f"{what}: {', '.join(map(plain, ids))}." for what, ids in needs if ids]
    if work.who not in {"caller", "technician", talk.counsel.who}:
        told.append(f"Only for somebody {work.who}.")
    return list(lines("say", tuple(told)))


def _begin(talk: Talk, at: Progress, step: Step) -> tuple[Reply, ...]:
    if step.kind == SPECIALIST:
        return (Reply(ENTER, "hand over", Ending("referred")),)
    repair = talk.subject.knowledge.repairs.get(step.id)
    if step.setups or (repair and (repair.or_replace or dear(talk, at, repair))):
        return (Reply(ENTER, "start", StepBegun(step.id)),)
    return finish(step.id, repair=repair is not None)


def finish(step: str, *, repair: bool, instead_of: str = "") -> tuple[Reply, ...]:
    """Return how it is said that a step is done."""
    if not repair:
        return (Reply(DONE, "done: ask me what it showed", StepDone(step)),)
    return (
        Reply("y", "yes, the repair is done", RepairDone(step, instead_of)),
        Reply("h", "how to", view="how"),
    )


def work_of(talk: Talk, step: str) -> Work | None:
    """Return what a check or repair takes."""
    known = talk.subject.knowledge
    entry = known.checks.get(step) or known.repairs.get(step)
    return entry.work if entry else None
