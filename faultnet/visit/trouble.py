"""When the answers cannot be reckoned with: they conflict, or there are too many."""

from faultnet.advice.conflict import Said
from faultnet.advice.subject import Subject
from faultnet.cases.events import AnyEvent, TakenBack
from faultnet.inference.engine import TooLargeError
from faultnet.model.evidence import Round
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
    """Return the turn that says what to leave out so that the rest can be reckoned exactly."""
    labels: dict[str, AnyEvent] = {
        title_of(subject, about): TakenBack(about, number)
        for number, round_ in enumerate(at.evidence.rounds)
        for about in dict.fromkeys(error.leave_out)
        if about in _told(subject, round_)
    }
    told = "Nothing is guessed here. Leave out the one you are least sure of:"
    line = Line("say", told if labels else "Nothing is guessed here. Undo the last answer.")
    title = "So many answers cannot be reckoned with exactly."
    return Turn("too-large", "Too much at once", title, (line,), numbered(labels))


def _told(subject: Subject, round_: Round) -> set[str]:
    read = {f for t in round_.taken for f in subject.knowledge.readings[t.reading].findings}
    return {answer.finding for answer in round_.answers} | read


def _answer(subject: Subject, said: Said) -> str:
    if said.about in subject.knowledge.readings:
        return said.answer
    return answer_said(subject, said.about, said.answer)
