"""`next`: the cheapest next step."""

from typing import TYPE_CHECKING

import click

from faultnet.cli import options
from faultnet.cli.asked import Asked
from faultnet.cli.output import show, show_json
from faultnet.cli.refusal import PROBLEMS

if TYPE_CHECKING:
    from faultnet.advice.site import Transition
    from faultnet.advice.step import Advice, Step
    from faultnet.advice.subject import Subject
    from faultnet.cli.screen import Screen

SHOWN = 5
"""Steps on the screen, the first in full."""
LONGEST = 3600.0
"""Seconds that may be spent at most."""

EXAMPLES = """\b
Examples:
  faultnet next jet-pump-cistern -f never-shuts-off=yes
      -f gauge-falls-isolated=yes
  faultnet next jet-pump-cistern -f never-shuts-off=yes
      --made-safe never-shuts-off --set-up hatch-open
  faultnet next jet-pump-cistern -f air-at-taps=yes
      --by caller --who caller

With time to look further ahead, and the whole plan:

\b
  faultnet next jet-pump-cistern -f no-water=yes --seconds 3 --plan

After a repair, mark what was said before it with its round:

\b
  faultnet next jet-pump-cistern -f 1:gauge-falls-isolated=yes
      --mended 1:clean-foot-valve -f gauge-falls-isolated=yes

On a network that was imported:

\b
  faultnet next alarm -f HRBP=HIGH --candidate CVP --candidate CO
      --cost CVP=3
"""


@click.command("next", epilog=EXAMPLES)
@options.evidence
@options.site
@options.network
@options.network_looks
@click.option(
    "--limit",
    type=click.IntRange(min=1),
    metavar="N",
    help=f"Steps to show; {SHOWN}, or all with --json.",
)
@click.option("--thorough", is_flag=True, help="Value what follows exactly; takes minutes.")
@click.option(
    "--seconds",
    type=click.FloatRange(0.0, LONGEST),
    default=0.0,
    show_default=True,
    metavar="S",
    help="Time to look further ahead than one step.",
)
@click.option("--plan", "whole", is_flag=True, help="Show the whole plan, answer by answer.")
@options.as_json
def command(
    asked: Asked,
    who: str,
    limit: int | None,
    thorough: bool,
    seconds: float,
    whole: bool,
    as_json: bool,
) -> int:
    """Show the step that is expected to get the water back with the least work.

    A danger comes first and withholds every other step until it has been dealt with; say
    so with --made-safe.
    """
    from faultnet.cli.imported import found

    path = found(asked)
    if path is not None:
        from faultnet.cli import imported_shown

        if thorough or whole or seconds:
            raise click.UsageError(
                "An imported network is looked at one step ahead, exactly: "
                "leave out --seconds, --plan and --thorough."
            )
        count = limit or (None if as_json else SHOWN)
        return imported_shown.look_ahead(asked, path, count, as_json=as_json)
    from faultnet.advice.steps import next_steps
    from faultnet.cli.unranked import dangers_first

    subject, evidence = asked.looked_up()
    advice = dangers_first(
        subject,
        evidence,
        lambda: next_steps(subject, evidence, who, thorough=thorough, seconds=seconds, whole=whole),
        as_json=as_json,
    )
    if as_json:
        from faultnet.shapes.steps import next_shape

        show_json(next_shape(advice, limit))
    else:
        from faultnet.cli.screen import this_screen

        show(text(this_screen(), subject, advice, limit or SHOWN, whole=whole))
    return PROBLEMS if advice.conflict else 0


def text(
    screen: "Screen", subject: "Subject", advice: "Advice", count: int, *, whole: bool = False
) -> list[str]:
    """Return advice as lines: dangers, the step in full, the others in a line each."""
    from faultnet.cli.notice import conflict, dangers, region

    lines = dangers(screen, subject, advice.dangers)
    if advice.conflict:
        return lines + conflict(screen, subject, advice.conflict)
    open_dangers = [d.finding for d in advice.dangers if not d.made_safe]
    if open_dangers:
        then = " ".join(f"--made-safe {finding}" for finding in open_dangers)
        return [*lines, *screen.wrap(f"No other step until that is done. Then say: {then}")]
    first, *others = advice.steps[:count]
    lines += region(screen, subject.knowledge)
    lines += _in_full(screen, first)
    if others:
        lines += [
            "",
            *map(screen.dim, screen.wrap("After that, by the minutes each leads to in all")),
        ]
        lines += [_in_a_line(screen, step) for step in others]
    if advice.plan is not None:
        from faultnet.cli.plan_shown import drawn, summed_up

        lines += ["", *summed_up(screen, advice)]
        lines += ["", *drawn(screen, subject, advice.plan)] if whole else []
    if not advice.exact and advice.planner != "exact":
        roughly = (
            "The minutes that follow an answer are valued roughly; --thorough does it exactly."
        )
        if advice.rough_answers:
            roughly += " So are the chances of answers here: exact ones would take too long."
        lines += ["", *map(screen.dim, screen.wrap(roughly))]
    return lines


def _in_full(screen: "Screen", step: "Step") -> list[str]:
    from faultnet.cli.screen import minutes

    waiting = f", then {minutes(step.waiting)} waiting" if step.waiting else ""
    lines = [
        *map(screen.bold, screen.wrap(step.title)),
        *map(screen.dim, screen.wrap(step.id)),
        *screen.wrap(f"{minutes(step.minutes)}{waiting}, {step.who}"),
        *screen.wrap(step.reason),
    ]
    lines += [""] if step.cautions else []
    for caution in step.cautions:
        lines += map(screen.alarm, screen.wrap(caution, 2, "!"))
    lines.append("")
    for set_up in step.setups:
        lines += screen.wrap(_set_up(set_up), 2, "-")
    for number, do in enumerate(step.do, 1):
        lines += screen.wrap(do, 4, f"{number}.")
    return lines[:-1] if not lines[-1] else lines


def _set_up(each: "Transition") -> str:
    from faultnet.cli.screen import minutes

    if each.to == "off":
        return f"First undo: {each.title}"
    return f"First: {each.title} ({minutes(each.minutes)}, undoing included)"


def _in_a_line(screen: "Screen", step: "Step") -> str:
    from faultnet.cli.screen import minutes

    total = minutes(step.expected_total).rjust(8)
    return f"{total}  {screen.cut(step.title, screen.width - 10)}"
