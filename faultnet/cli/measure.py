"""`measure`: how well the tool did on closed cases."""

from dataclasses import dataclass
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli import complete, options
from faultnet.cli.output import leave_alone, show, show_json, write_file

if TYPE_CHECKING:
    from faultnet.learning.measures.measured import Asked
    from faultnet.learning.measures.periods import Period
    from faultnet.model.knowledge import Knowledge
    from faultnet.sharing.sharing import Sharing

EXAMPLES = """\b
Examples:
  faultnet measure closed-cases.jsonl
  faultnet measure closed-cases.parquet --by quarter --system jet-pump-cistern
  faultnet measure closed-cases.jsonl --learnt-until 2026-03-31
  faultnet measure closed-cases.jsonl --picture measures.svg
"""

DAY = click.DateTime(["%Y-%m-%d"])


@dataclass(frozen=True)
class Choice:
    """Which cases are wanted, and what of them."""

    system: str | None
    since: str
    until: str
    learnt_until: str
    also_learnt: bool
    visit_minutes: bool

    def asked(self, knowledge: "Knowledge") -> "Asked":
        """Return what is asked; raise ``UnknownNameError`` for an unknown system."""
        from faultnet.advice.subject import UnknownNameError
        from faultnet.learning.measures.measured import Asked
        from faultnet.learning.measures.span import Span, learnt_from

        if self.system is not None and self.system not in knowledge.systems:
            raise UnknownNameError("system", self.system, list(knowledge.systems))
        told = (Span(until=self.learnt_until),) if self.learnt_until else ()
        return Asked(
            Span(self.since, self.until, self.system or ""),
            (*learnt_from(knowledge), *told),
            self.also_learnt,
            self.visit_minutes,
        )


def _day(_ctx: click.Context, _param: click.Parameter, value: object) -> str:
    return f"{value:%Y-%m-%d}" if value else ""


_CHOICE = (
    click.option(
        "--system",
        metavar="SYSTEM",
        shell_complete=complete.systems,
        help="Only cases of this system.",
    ),
    click.option(
        "--since", type=DAY, callback=_day, help="Only cases closed on this day or later."
    ),
    click.option("--until", type=DAY, callback=_day, help="Only cases closed by this day."),
    click.option(
        "--learnt-until",
        type=DAY,
        callback=_day,
        help="The files were learnt from cases closed by this day: leave those out.",
    ),
    click.option(
        "--also-learnt",
        is_flag=True,
        help="Measure on cases that were learnt from, too; that flatters.",
    ),
    click.option(
        "--visit-minutes",
        is_flag=True,
        help="Price whole visits at the call, too; takes ten times as long.",
    ),
)


@dataclass(frozen=True)
class Showing:
    """How the figures are shown."""

    period: "Period"
    picture: Path | None
    replace: bool
    as_json: bool

    def refuse(self) -> None:
        """Refuse a picture that could not be drawn, before anything is worked out."""
        from faultnet.cli.extra import needed

        if self.picture is None:
            return
        if self.picture.suffix.lower() not in {".svg", ".png", ".pdf"}:
            raise click.UsageError(f"{self.picture} ends neither in .svg nor .png nor .pdf.")
        leave_alone([self.picture], replace=self.replace)
        with needed("plot"):
            import_module("matplotlib")


_SHOWING = (
    click.option(
        "--by",
        "period",
        type=click.Choice(["month", "quarter", "year"]),
        default="quarter",
        show_default=True,
        help="How finely to tell by time.",
    ),
    click.option(
        "--picture",
        type=click.Path(dir_okay=False, path_type=Path),
        metavar="FILE",
        help="Draw the figures (SVG, PNG or PDF, by the ending).",
    ),
    options.replace,
    options.as_json,
)


@click.command("measure", epilog=EXAMPLES)
@click.argument("source")
@partial(options.gathered, Choice, "choice", _CHOICE)
@options.knowledge
@options.sharing
@partial(options.gathered, Showing, "showing", _SHOWING)
def command(
    source: str, choice: Choice, folder: Path | None, sharing: "Sharing", showing: Showing
) -> int:
    """Tell how well the tool did on the closed cases of SOURCE.

    Each case with a confirmed cause is put to the knowledge as it stood at the call, and
    before anything was mended. Cases that the knowledge was learnt from are left out.
    """
    from faultnet.advice.subjects import Subjects
    from faultnet.authoring.shipped import shipped_folder
    from faultnet.authoring.store import load
    from faultnet.cli.measure_source import opened
    from faultnet.cli.progress import told
    from faultnet.learning.measures.measured import Measuring, added
    from faultnet.shapes.measure import measure_shape

    showing.refuse()
    knowledge = load(folder or shipped_folder())
    asked = choice.asked(knowledge)
    parts = opened(source).parts()
    found = sharing.each(Measuring(Subjects(knowledge), asked), parts)
    sums = added(told(found, len(parts), "parts of the cases"))
    shape = measure_shape(knowledge.version, sums, showing.period, also_learnt=asked.also_learnt)
    if showing.picture is not None:
        from faultnet.drawing.measures import drawn

        write_file(showing.picture, drawn(sums, showing.period, showing.picture.suffix[1:].lower()))
    if showing.as_json:
        show_json(shape)
        return 0
    from faultnet.cli.measure_shown import text
    from faultnet.cli.screen import this_screen

    show(text(this_screen(), knowledge, shape))
    return 0
