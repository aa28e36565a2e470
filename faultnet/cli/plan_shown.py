"""A plan for the screen: the step, and for each answer what to do then."""

from typing import TYPE_CHECKING

from faultnet.cli.screen import Screen, minutes, percent

if TYPE_CHECKING:
    from faultnet.advice.step import Advice
    from faultnet.advice.subject import Subject
    from faultnet.planning.plan import Branch, Move, Plan

HOW = {
    "one-step": "Looked one step ahead.",
    "deeper": "Looked further ahead, {examined} positions",
    "exact": "Planned to the end, {examined} positions",
}


def summed_up(screen: Screen, advice: "Advice") -> list[str]:
    """Return how far was looked, what it gained and what at most it leaves."""
    made = advice.plan
    if made is None:
        return []
    told = HOW[made.planner].format(examined=made.examined)
    if made.planner != "one-step":
        told += f": it saves {minutes(made.gained)} against one step ahead."
    if made.planner == "exact":
        told += " No plan does better."
    else:
        told += f" By these figures no plan can save more than another {minutes(advice.gap)}."
    return [screen.dim(line) for line in screen.wrap(told)]


def drawn(screen: Screen, subject: "Subject", made: "Plan") -> list[str]:
    """Return the whole plan, each answer further in than its step."""
    lines = [screen.bold("The plan")]
    _draw(screen, subject, made.first, 0, lines)
    return lines


def _draw(screen: Screen, subject: "Subject", move: "Move", depth: int, lines: list[str]) -> None:
    indent = " " * min(2 * depth, screen.width // 2)
    title = _title(subject, move)
    lines += screen.wrap(f"{title} ({minutes(move.step.price)})", len(indent), indent)
    for branch in move.branches:
        if branch.then is None and len(move.branches) == 1:
            continue  # it always ends it
        lines += screen.wrap(_answer(branch), len(indent) + 2, indent)
        if branch.then is not None:
            _draw(screen, subject, branch.then, depth + 1, lines)


def _answer(branch: "Branch") -> str:
    """Return how likely an answer is and what is found; what is not found goes unsaid."""
    end = ": done" if branch.then is None else ":"
    found = [each for each in branch.answer.split(", ") if not each.endswith("=no")]
    answer = ", ".join(found) or "nothing of it"
    return f"- {percent(branch.probability).strip()} {answer}{end}"


def _title(subject: "Subject", move: "Move") -> str:
    knowledge, name = subject.knowledge, move.step.id
    if move.step.kind == "fall-back":
        return subject.system.specialist.title
    entries = knowledge.checks if move.step.kind == "check" else knowledge.repairs
    return entries[name].title
