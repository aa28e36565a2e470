"""The step that is being done: what is set up first, what is done, what it shows."""

from msgspec.structs import replace

from faultnet.advice.site import Prices, State, Transition
from faultnet.cases.events import SetUpMade, SetUpUndone
from faultnet.visit.consent import instead, larger
from faultnet.visit.not_now import skip
from faultnet.visit.progress import Progress
from faultnet.visit.question import question
from faultnet.visit.steps import duration, finish, first_of, work_of
from faultnet.visit.talk import Talk
from faultnet.visit.told import title_of
from faultnet.visit.turn import DONE, Line, Reply, Turn, lines
from faultnet.visit.waiting import meanwhile


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


def _transitions(talk: Talk, at: Progress) -> tuple[Transition, ...]:
    """What is still to be made or undone before the step."""
    work = work_of(talk, at.step)
    state: State = frozenset(at.evidence.set_ups)
    return Prices(talk.subject.knowledge).work(work, state).transitions if work else ()


def _set_up(talk: Talk, at: Progress, transitions: tuple[Transition, ...]) -> Turn:
    first = transitions[0]
    title = title_of(talk.subject, at.step)
    heading = f"First, {len(transitions)} to go. For: {title}"
    if first.id.startswith("called:"):
        done = Reply(DONE, "somebody is here", SetUpMade((first.id,)))
        return Turn("set-up", heading, f"C{first_of(first)[1:]}", (), (done, skip(at.step)))
    entry = talk.subject.knowledge.set_ups[first.id]
    if first.to == "off":
        done = Reply(DONE, "undone", SetUpUndone((first.id,)))
        body = lines("caution", entry.cautions)
        return Turn("set-up", heading, f"Undo: {first.title}", body, (done, skip(at.step)))
    body = (
        Line("say", duration(entry.make.value, 0.0, 0.0)),
        *lines("caution", entry.cautions),
        *lines("do", entry.steps),
    )
    done = Reply(DONE, "done", SetUpMade((first.id,)))
    return Turn("set-up", heading, entry.title, body, (done, skip(at.step)))


def _do(talk: Talk, at: Progress) -> Turn | None:
    work = work_of(talk, at.step)
    if work is None:
        return None
    repair = talk.subject.knowledge.repairs.get(at.step)
    wait, aside = meanwhile(talk, at, work)
    body = (*lines("caution", work.cautions), *lines("do", work.steps), *wait)
    replies = (*finish(at.step, repair=repair is not None, instead_of=at.instead_of), *aside)
    if repair:
        body = (*body, *instead(talk, at, repair))
        replies = (*replies, *larger(repair, at))
    heading = "Is the repair done?" if repair else "Now"
    return Turn("do", heading, title_of(talk.subject, at.step), body, (*replies, skip(at.step)))


def _next_question(talk: Talk, at: Progress) -> Turn | None:
    check = talk.subject.knowledge.checks.get(at.step)
    reveals = check.reveals if check else ()
    read = {f for t in at.now.taken for f in talk.subject.knowledge.readings[t.reading].findings}
    left = [
        about
        for about in reveals
        if not at.settled(about) and about not in read and _open(talk, at, about)
    ]
    if not left:
        return None
    more = f", {len(left)} to go" if len(left) > 1 else ""
    turn = question(talk, at, left[0], f"{title_of(talk.subject, at.step)}{more}")
    leave = skip(at.step, "not now: leave this step")
    return replace(turn, replies=(*turn.replies, leave))


def _open(talk: Talk, at: Progress, about: str) -> bool:
    if about in talk.subject.roots:
        root = talk.subject.network.roots[talk.subject.roots[about]]
        return sum(p > 0.0 for p in root.prior) > 1
    return about in talk.subject.findings and talk.askable(at, about)
