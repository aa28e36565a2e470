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
    from collections.abc import Callable

    from msgspec import Struct

    from faultnet.learning.measures.measured import Asked
    from faultnet.learning.measures.periods import Period
    from faultnet.learning.measures.sums import Sums
    from faultnet.learning.source import Source
    from faultnet.model.knowledge import Knowledge
    from faultnet.sharing.sharing import Sharing

    Work = tuple[Source, Knowledge, Sharing]

EXAMPLES = """\b
Examples:
  faultnet measure closed-cases.jsonl
  faultnet measure closed-cases.parquet --by quarter --system jet-pump-cistern
  faultnet measure closed-cases.jsonl --learnt-until 2026-03-31
  faultnet measure closed-cases.jsonl --folds 4
  faultnet measure closed-cases.jsonl --picture measures.svg
"""


@dataclass(frozen=True)
class Choice:
    """Which cases are wanted, and what of them."""

    system: str | None
    since: str | None
    until: str | None
    learnt_until: str | None
    also_learnt: bool
    visit_minutes: bool

    def asked(self, knowledge: "Knowledge") -> "Asked":
        """Return what is asked; raise ``UnknownNameError`` for an unknown system."""
        from faultnet.advice.subject import UnknownNameError
        from faultnet.learning.measures.measured import Asked
        from faultnet.learning.span import Span, learnt_from

        if self.system is not None and self.system not in knowledge.systems:
            raise UnknownNameError("system", self.system, list(knowledge.systems))
        told = (Span(until=self.learnt_until),) if self.learnt_until else ()
        return Asked(
            Span(self.since or "", self.until or "", self.system or ""),
            (*learnt_from(knowledge), *told),
            self.also_learnt,
            self.visit_minutes,
        )


_CHOICE = (
    click.option(
        "--system",
        metavar="SYSTEM",
        shell_complete=complete.systems,
        help="Only cases of this system.",
    ),
    options.since,
    click.option(
        "--until", callback=options.day, metavar="DAY", help="Only cases closed by this day."
    ),
    click.option(
        "--learnt-until",
        callback=options.day,
        metavar="DAY",
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

    def draw(self, sums: "Sums") -> None:
        """Draw the picture that is wanted, if any; raise ``CannotWriteError``."""
        if self.picture is not None:
            from faultnet.drawing.measures import drawn

            write_file(self.picture, drawn(sums, self.period, self.picture.suffix[1:].lower()))


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
@click.argument("cases")
@partial(options.gathered, Choice, "choice", _CHOICE)
@click.option(
    "--folds",
    type=click.IntRange(1, 100),
    metavar="NUMBER",
    help="Learn from what came before, measure on what came after, so many times.",
)
@options.knowledge
@options.sharing
@partial(options.gathered, Showing, "showing", _SHOWING)
def command(
    cases: str,
    choice: Choice,
    folds: int | None,
    folder: Path | None,
    sharing: "Sharing",
    showing: Showing,
) -> int:
    """Tell how well the tool did on the closed cases in CASES.

    CASES is a file, a folder, a case store or a table. Each case with a cause that was seen is
    put to the knowledge twice: with what was known at the call, and with what was known before
    anything was mended. Cases that the knowledge was learnt from are left out.
    """
    from faultnet.authoring.shipped import shipped_folder
    from faultnet.authoring.store import load
    from faultnet.cli.closed_source import usable
    from faultnet.cli.progress import Telling

    showing.refuse()
    knowledge = load(folder or shipped_folder())
    asked = choice.asked(knowledge)
    shared = Telling(sharing, "parts of the cases")
    # What the files rule out and was seen all the same is a fault of the files: it counts.
    work = (usable(cases, knowledge, shared), knowledge, shared)
    found = _all(work, asked, showing) if folds is None else _folds(work, asked, folds)
    showing.draw(found.sums)
    if showing.as_json:
        show_json(found.shape)
    else:
        show(found.lines())
    return 0


@dataclass(frozen=True)
class Found:
    """What came of it: sums to draw, a shape for programs, lines for the screen."""

    sums: "Sums"
    shape: "Struct"
    lines: "Callable[[], list[str]]"


def _all(work: "Work", asked: "Asked", showing: Showing) -> Found:
    """Measure all cases."""
    from faultnet.advice.subjects import Subjects
    from faultnet.cli.measure_shown import text
    from faultnet.cli.screen import this_screen
    from faultnet.learning.measures.measured import measured
    from faultnet.shapes.measure import measure_shape

    source, knowledge, sharing = work
    sums = measured(Subjects(knowledge), source, sharing, asked)
    shape = measure_shape(knowledge.version, sums, showing.period, also_learnt=asked.also_learnt)
    return Found(sums, shape, lambda: text(this_screen(), knowledge, shape))


def _folds(work: "Work", asked: "Asked", count: int) -> Found:
    """Learn from what came before, measure on what came after."""
    from faultnet.advice.subjects import Subjects
    from faultnet.cli.measure_folds_shown import text
    from faultnet.cli.screen import this_screen
    from faultnet.learning.measures.folds import folds
    from faultnet.learning.measures.sums import Sums
    from faultnet.shapes.measure_folds import folds_shape

    source, knowledge, sharing = work
    found = list(folds(Subjects(knowledge), source, sharing, count, asked))
    if not found:
        raise click.UsageError("All cases were closed on one day: there is no before and after.")
    sums = sum((fold.pair.other for fold in found), Sums())
    shape = folds_shape(knowledge.version, found)
    return Found(sums, shape, lambda: text(this_screen(), shape))
