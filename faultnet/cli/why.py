"""`why`: what moved a cause, what would change the ranking, the next step in numbers."""

from typing import TYPE_CHECKING

import click

from faultnet.cli import complete, options
from faultnet.cli.asked import Asked
from faultnet.cli.output import show, show_json
from faultnet.cli.refusal import PROBLEMS

if TYPE_CHECKING:
    from faultnet.advice.step import Advice, Step
    from faultnet.advice.subject import Subject
    from faultnet.advice.why import Change, Move, Why
    from faultnet.cli.screen import Screen
    from faultnet.review.sensitivity.margin import Margin
    from faultnet.shapes.plain import Json

RARE = 0.0005
"""Answers that are together rarer than this are passed over."""

EXAMPLES = """\b
Examples:
  faultnet why jet-pump-cistern -f never-shuts-off=yes
      -f gauge-falls-isolated=yes
  faultnet why jet-pump-cistern shaft-seal-leaks
      -f gauge-falls-isolated=yes
"""


@click.command("why", epilog=EXAMPLES)
@options.evidence
@click.argument("cause", required=False, shell_complete=complete.causes)
@options.site
@options.as_json
def command(asked: Asked, cause: str | None, who: str, as_json: bool) -> int:
    """Show how each answer moved CAUSE, with the authored lines behind it.

    Without CAUSE it is the likeliest one, and the next step is shown in numbers as well:
    what it is expected to come to, and what each answer would mean; and the numbers in the
    files that, moved a little, would put another cause first.
    """
    from faultnet.advice.steps import next_steps
    from faultnet.advice.why import why
    from faultnet.cli.unranked import dangers_first
    from faultnet.review.sensitivity.case import nearest

    subject, evidence = asked.looked_up()

    def ask() -> "tuple[Why, Advice | None, tuple[Margin, ...]]":
        reasons = why(subject, evidence, cause)
        if cause is not None or reasons.conflict:
            return reasons, None, ()
        return reasons, next_steps(subject, evidence, who), nearest(subject, evidence)

    reasons, advice, margins = dangers_first(subject, evidence, ask, as_json=as_json)
    if as_json:
        show_json(_shape(reasons, advice, margins))
    else:
        from faultnet.cli.screen import this_screen

        show(_text(this_screen(), subject, reasons, advice, margins))
    return PROBLEMS if reasons.conflict else 0


def _shape(reasons: "Why", advice: "Advice | None", margins: "tuple[Margin, ...]") -> "Json":
    from faultnet.shapes.margins import margin_shape
    from faultnet.shapes.plain import plain
    from faultnet.shapes.steps import next_shape
    from faultnet.shapes.warnings import conflict_shape, dangers_shape

    return {
        "system": reasons.system,
        "cause": reasons.cause,
        "title": reasons.title,
        "before": reasons.before,
        "after": reasons.after,
        "moves": [_move(move) for move in reasons.moves],
        "changes": [
            {
                "about": change.about,
                "answer": change.answer,
                "probability": change.probability,
                "first": change.first,
                "first_probability": change.first_probability,
            }
            for change in reasons.changes
        ],
        "dangers": [plain(each) for each in dangers_shape(reasons.dangers)],
        "conflict": [plain(each) for each in conflict_shape(reasons.conflict)],
        "next": plain(next_shape(advice)) if advice else None,
        "margins": [plain(margin_shape(each)) for each in margins],
    }


def _move(move: "Move") -> "Json":
    return {
        "about": move.about,
        "answer": move.answer,
        "without": move.without,
        "before": move.before,
        "after": move.after,
        "lines": [{"text": line.text, "place": str(line.place)} for line in move.lines],
    }


def _text(
    screen: "Screen",
    subject: "Subject",
    reasons: "Why",
    advice: "Advice | None",
    margins: "tuple[Margin, ...]",
) -> list[str]:
    from faultnet.cli.margins_shown import nearest_text
    from faultnet.cli.notice import conflict, dangers
    from faultnet.cli.screen import percent

    lines = dangers(screen, subject, reasons.dangers)
    if reasons.conflict:
        return lines + conflict(screen, subject, reasons.conflict)
    now, before = percent(reasons.after).strip(), percent(reasons.before).strip()
    lines += map(screen.bold, screen.wrap(reasons.title))
    lines += map(screen.dim, screen.wrap(reasons.cause))
    lines += screen.wrap(f"{now} now; {before} before anything was said")
    for move in reasons.moves:
        lines += ["", *_moved(screen, move)]
    if reasons.changes:
        lines += ["", screen.bold("What would change the ranking")]
    for change in reasons.changes:
        lines += _changed(screen, subject, change)
    if margins:
        lines += ["", screen.bold("Numbers nearest to another first cause")]
        lines += nearest_text(screen, margins)
    return [*lines, *_in_numbers(screen, advice)]


def _moved(screen: "Screen", move: "Move") -> list[str]:
    from faultnet.cli.screen import percent

    before, after = percent(move.before).strip(), percent(move.after).strip()
    without = percent(move.without).strip()
    lines = [
        *screen.wrap(f"{move.about}={move.answer}"),
        *screen.wrap(f"from {before} to {after}; without this answer {without}", 2),
    ]
    for line in move.lines:
        lines += screen.wrap(line.text, 4, "  -")
        lines += map(screen.dim, screen.wrap(str(line.place), 4))
    return lines


def _changed(screen: "Screen", subject: "Subject", change: "Change") -> list[str]:
    from faultnet.cli.screen import percent

    first = f"{subject.title(change.first)} leads, {percent(change.first_probability).strip()}"
    said = f"{change.about}={change.answer} ({percent(change.probability).strip()})"
    return [*screen.wrap(said, 4, "  -"), *screen.wrap(first, 4)]


def _in_numbers(screen: "Screen", advice: "Advice | None") -> list[str]:
    """Return the best step with its total, the floor, the runner-up and its answers."""
    from faultnet.cli.screen import minutes, percent

    if advice is None or not advice.steps:
        return []
    best, *others = advice.steps
    gap = best.expected_total - advice.floor
    lines = [
        "",
        screen.bold("The next step in numbers"),
        *screen.wrap(best.title, 2),
        *screen.wrap(f"costs {minutes(best.price)}, {_set_ups(best)}", 2),
        *screen.wrap(f"{minutes(best.expected_total)} in all, mending by rank from there on", 2),
        *screen.wrap(
            f"{minutes(advice.floor)} would do if the causes were known, {minutes(gap)} less", 2
        ),
        *screen.wrap(f"{advice.examined} of {advice.considered} checks valued", 2),
    ]
    for other in others[:1]:
        told = f"runner-up: {other.title}, {minutes(other.expected_total)} in all"
        lines += screen.wrap(told, 2)
    for outcome in best.outcomes:
        said = ", ".join(f"{about}={answer}" for about, answer in outcome.answers.items())
        lines += screen.wrap(said, 8, f"  {percent(outcome.probability)}")
    rest = 1.0 - sum(outcome.probability for outcome in best.outcomes)
    if best.outcomes and rest > RARE:
        lines += screen.wrap("any other answer", 8, f"  {percent(rest)}")
    return lines


def _set_ups(step: "Step") -> str:
    from faultnet.cli.screen import minutes

    price = sum(each.minutes for each in step.setups)
    return f"{minutes(price)} of it for set-ups" if step.setups else "no set-ups"
