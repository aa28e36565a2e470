"""`rank`: the causes, likeliest first."""

from typing import TYPE_CHECKING

import click

from faultnet.cli import options
from faultnet.cli.asked import Asked
from faultnet.cli.output import show, show_json
from faultnet.cli.refusal import PROBLEMS

if TYPE_CHECKING:
    from faultnet.advice.ranking import Ranking
    from faultnet.advice.subject import Subject
    from faultnet.cli.screen import Screen

SHOWN = 10
"""Causes on the screen."""

EXAMPLES = """\b
Examples:
  faultnet rank jet-pump-cistern
  faultnet rank jet-pump-cistern -f prime-level-falls=yes
      -f after-work=yes -l check-valve=foot
  faultnet rank jet-pump-cistern -m hold.start=50psi
      -m hold.end=44psi -m hold.minutes=15min

After a repair the findings are taken anew. What was said before it is marked with its
round, and what is said now stands bare:

\b
  faultnet rank jet-pump-cistern -f 1:gauge-falls-isolated=yes
      --mended 1:clean-foot-valve -f gauge-falls-isolated=yes

A network that was imported, or a file of one:

\b
  faultnet rank alarm -f HRBP=HIGH --target SHUNT=HIGH
"""


@click.command("rank", epilog=EXAMPLES)
@options.evidence
@options.network
@click.option(
    "--limit",
    type=click.IntRange(min=1),
    metavar="N",
    help=f"Causes to show; {SHOWN}, or all with --json.",
)
@click.option("--all", "every", is_flag=True, help="Show every cause.")
@options.as_json
def command(asked: Asked, limit: int | None, every: bool, as_json: bool) -> int:
    """Rank the causes of a trouble, likeliest first.

    Say what was seen with -f, what the installation is like with -l and what was measured
    with -m. What is not said counts as unknown, never as no.
    """
    from faultnet.cli.imported import found

    path = found(asked)
    if path is not None:
        from faultnet.cli import imported_shown

        count = None if every else limit or (None if as_json else SHOWN)
        return imported_shown.rank(asked, path, count, as_json=as_json)
    from faultnet.advice.ranking import rank
    from faultnet.cli.unranked import dangers_first

    subject, evidence = asked.looked_up()
    ranking = dangers_first(subject, evidence, lambda: rank(subject, evidence), as_json=as_json)
    if as_json:
        from faultnet.shapes.ranking import rank_shape

        show_json(rank_shape(ranking, evidence, None if every else limit))
    else:
        from faultnet.cli.screen import this_screen

        count = len(ranking.causes) if every else limit or SHOWN
        show(text(this_screen(), subject, ranking, count))
    return PROBLEMS if ranking.conflict else 0


def text(screen: "Screen", subject: "Subject", ranking: "Ranking", count: int) -> list[str]:
    """Return a ranking as lines, dangers first."""
    from faultnet.cli.notice import conflict, dangers, region
    from faultnet.cli.screen import percent

    lines = dangers(screen, subject, ranking.dangers) + region(screen, subject.knowledge)
    if ranking.conflict:
        return lines + conflict(screen, subject, ranking.conflict)
    shown = ranking.causes[:count]
    groups = [g for g in ranking.groups if any(c.group == g.id for c in shown)]
    letters = {group.id: chr(ord("a") + k % 26) for k, group in enumerate(groups)}
    lines += [screen.bold(subject.system.title), ""]
    for cause in shown:
        mark = f"  [{letters[cause.group]}]" if cause.group in letters else ""
        lines += screen.wrap(cause.title + mark, 7, percent(cause.probability))
        lines += _bar_and_id(screen, cause.probability, cause.id)
    lines.append("")
    for group in groups:
        check = subject.knowledge.checks[group.parted_by].title
        alike = f"Look alike, {percent(group.probability).strip()} together."
        lines += screen.wrap(f"{alike} Parted by: {check}", 7, f"  [{letters[group.id]}]")
    lines += [""] if groups else []
    lines += screen.wrap("Something not in these files", 7, percent(ranking.unlisted))
    lines += screen.wrap("More than one fault at once", 7, percent(ranking.more_than_one))
    return lines


def _bar_and_id(screen: "Screen", share: float, name: str) -> list[str]:
    """Return the bar with the id beside it, or below it on a narrow screen."""
    cells = 20 if screen.width >= 60 else 10
    bar = screen.bar(share, cells)
    if 7 + cells + 2 + len(name) <= screen.width:
        return [f"{'':7}{screen.mild(bar.ljust(cells))}  {screen.dim(name)}"]
    return [f"{'':7}{screen.mild(bar)}", *map(screen.dim, screen.wrap(name, 7))]
