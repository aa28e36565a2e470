"""When the answers cannot be reckoned with: they conflict, or there are too many."""

from faultnet.advice.conflict import Said
from faultnet.advice.subject import Subject
from faultnet.inference.engine import TooLargeError
from faultnet.visit.events import Event, TakenBack
from faultnet.visit.progress import Progress
from faultnet.visit.told import answer_said, title_of
from faultnet.visit.turn import Line, Turn, numbered


class ConflictError(Exception):
    """Answers that cannot all be true."""

    def __init__(self, said: tuple[Said, ...]) -> None:
        super().__init__("the answers cannot all be true")
        self.said = said


def conflict_turn(subject: Subject, error: ConflictError) -> Turn:
    """Return the turn that shows answers in conflict and offers to take one back."""
    several = any(each.round for each in error.said)
    labels: dict[str, Event] = {}
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
    """Return the turn that says what to leave out so that the rest can be reckoned exactly."""
    labels: dict[str, Event] = {}
    for about in error.leave_out:
        for number, round_ in enumerate(at.evidence.rounds):
            if any(answer.finding == about for answer in round_.answers):
                labels[title_of(subject, about)] = TakenBack(about, number)
    for about in (*at.evidence.circumstances, *at.evidence.layout):
        if about in error.leave_out:
            labels[title_of(subject, about)] = TakenBack(about, 0)
    return Turn(
        "too-large",
        "Too much at once",
        "So many answers cannot be reckoned with exactly.",
        (Line("say", "Nothing is guessed here. Leave out the one you are least sure of:"),),
        numbered(labels),
    )


def _answer(subject: Subject, said: Said) -> str:
    if said.about in subject.knowledge.readings:
        return said.answer
    return answer_said(subject, said.about, said.answer)
