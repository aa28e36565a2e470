"""Earlier answers: looked at, corrected, and what a correction would change."""

from faultnet.cases.events import TakenBack, Told
from faultnet.inference.engine import TooLargeError
from faultnet.visit.progress import Progress
from faultnet.visit.question import question
from faultnet.visit.steps import best
from faultnet.visit.talk import Talk
from faultnet.visit.told import answer_said, title_of
from faultnet.visit.trouble import ConflictError
from faultnet.visit.turn import BACK, KEYS, Line, Reply, Turn

SHOWN = 8
"""Answers in the list at a time."""

CAUSES = 3
"""Causes compared before and after."""

LIST = Reply("l", "look back", view="look-back:0")


def listed(talk: Talk, at: Progress, start: int) -> Turn:
    """Return what was answered in the open round and about the installation, last first."""
    said = _answers(talk, at)
    start = start if start < len(said) else 0
    replies = [
        Reply(key, f"{title_of(talk.subject, about)}: {answer}", view=f"correct:{about}")
        for key, (about, answer) in zip(KEYS, said[start : start + SHOWN], strict=False)
    ]
    if len(said) > SHOWN:
        after = start + SHOWN if start + SHOWN < len(said) else 0
        replies.append(Reply("m", "more", view=f"look-back:{after}"))
    title = "Which one was wrong?" if said else "Nothing was answered yet."
    return Turn("look-back", "Answers so far", title, (), (*replies, BACK))


def corrected(talk: Talk, at: Progress, about: str) -> Turn:
    """Return the question about something again; its answers show what they would change."""
    turn = question(talk, at, about, title_of(talk.subject, about))
    number = len(at.evidence.rounds) - 1
    replies = [
        Reply(each.key, each.label, view=f"change:{about}={each.event.answer}")
        for each in turn.replies
        if isinstance(each.event, Told)
    ]
    not_known = Reply("?", "leave it out: not known", TakenBack(about, number))
    now = dict(_answers(talk, at)).get(about, "")
    line = Line("say", f"Answered: {now}." if now else "Not answered yet.")
    return Turn("correct", turn.heading, turn.title, (line,), (*replies, not_known, BACK))


def change(talk: Talk, at: Progress, after: Progress, told: Told) -> Turn:
    """Return what an answer would change, before it is written down."""
    try:
        body = (*_causes(talk, at, after), *_step(talk, at, after))
    except ConflictError:
        body = (Line("caution", "It does not go together with the other answers."),)
    except TooLargeError:
        body = (Line("note", "What it changes cannot be reckoned with beforehand."),)
    title = f"{title_of(talk.subject, told.about)}: {answer_said(talk.subject, *_pair(told))}?"
    yes = Reply("y", "yes, correct it", told)
    return Turn("change", "What that would change", title, body, (yes, BACK))


def _pair(told: Told) -> tuple[str, str]:
    return told.about, told.answer


def _causes(talk: Talk, at: Progress, after: Progress) -> tuple[Line, ...]:
    """The likeliest causes before and after, with their chances."""
    if at.own_view and at.suspect is None:
        return ()
    before, then = (talk.counsel.ranking(p.evidence) for p in (at, after))
    old = {c.id: c.probability for c in before.causes}
    new = {c.id: c.probability for c in then.causes}
    first = (*list(old)[:CAUSES], *list(new)[:CAUSES])
    return tuple(
        Line("item", f"{talk.subject.title(c)}: {old[c]:.0%}, then {new[c]:.0%}")
        for c in dict.fromkeys(first)
        if c in old and c in new
    )


def _step(talk: Talk, at: Progress, after: Progress) -> tuple[Line, ...]:
    before, then = best(talk, at)[0], best(talk, after)[0]
    if before.id == then.id:
        return (Line("say", f"The next step stays: {then.title}."),)
    return (Line("say", f"Next step: {then.title}, not {before.title}."),)


def _answers(talk: Talk, at: Progress) -> list[tuple[str, str]]:
    """What was answered, in words, the last first."""
    evidence = at.evidence
    said = [(a.finding, a.answer) for a in at.now.answers if a.speaker == at.speaker]
    said.reverse()
    said += [(c, "yes" if held else "no") for c, held in evidence.circumstances.items()]
    said += list(evidence.layout.items())
    return [(about, answer_said(talk.subject, about, answer)) for about, answer in said]
