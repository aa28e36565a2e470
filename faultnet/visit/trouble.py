"""When the answers cannot be reckoned with: they conflict, or there are too many."""

from msgspec.structs import replace

from faultnet.advice.conflict import Said
from faultnet.advice.subject import Subject
from faultnet.cases.events import AnyEvent, TakenBack
from faultnet.inference.engine import TooLargeError
from faultnet.model.evidence import Round
from faultnet.visit.progress import Progress
from faultnet.visit.told import answer_said, title_of
from faultnet.visit.turn import KEYS, Line, Reply, Turn, numbered

LAYOUTS = 4
"""Facts of the installation that are asked for at once."""


class ConflictError(Exception):
    """Answers that cannot all be true."""

    def __init__(self, said: tuple[Said, ...]) -> None:
        super().__init__("the answers cannot all be true")
        self.said = said


def conflict_turn(subject: Subject, error: ConflictError) -> Turn:
    """Return the turn that shows answers in conflict and offers to take one back."""
    several = any(each.round for each in error.said)
    labels: dict[str, AnyEvent] = {}
    for each in error.said:
        where = f"round {each.round + 1}: " if several else ""
        label = f"{where}{title_of(subject, each.about)}: {_answer(subject, each)}"
        labels[label] = TakenBack(each.about, each.round)
    return Turn(
        "conflict",
        "Something is not right",
        "These cannot all be true together.",
        (Line("say", "Look again. Then take back the one that was wrong:"),),
        numbered(labels),
    )


def too_large_turn(subject: Subject, at: Progress, error: TooLargeError) -> Turn:
    """Return the turn that says what makes the rest small enough to be reckoned exactly.

    What is not known of the installation can be told, and what costs most can be left out.
    """
    labels: dict[str, AnyEvent] = {
        title_of(subject, about): TakenBack(about, number)
        for number, round_ in enumerate(at.evidence.rounds)
        for about in dict.fromkeys(error.leave_out)
        if about in _told(subject, round_)
    }
    layouts = [name for name in subject.weightiest if name not in at.evidence.layout][:LAYOUTS]
    first = [Reply("", f"tell: {title_of(subject, n)}", view=f"correct:{n}") for n in layouts]
    left_out = [Reply("", f"leave out: {label}", event) for label, event in labels.items()]
    replies = tuple(replace(r, key=k) for k, r in zip(KEYS, first + left_out, strict=False))
    line = Line("say", f"Nothing is guessed here. {_way(bool(first), bool(left_out))}")
    title = "So many answers cannot be reckoned with exactly."
    return Turn("too-large", "Too much at once", title, (line,), replies)


def _way(tells: bool, leaves_out: bool) -> str:
    """Return what to do, as far as there is something to tell or to leave out."""
    if tells:
        end = ", or leave out the answer you are least sure of" if leaves_out else ""
        return f"Look what is installed and tell it{end}:"
    if leaves_out:
        return "Leave out the one you are least sure of:"
    return "Undo the last answer."


def _told(subject: Subject, round_: Round) -> set[str]:
    read = {f for t in round_.taken for f in subject.knowledge.readings[t.reading].findings}
    return {answer.finding for answer in round_.answers} | read


def _answer(subject: Subject, said: Said) -> str:
    if said.about in subject.knowledge.readings:
        return said.answer
    return answer_said(subject, said.about, said.answer)
