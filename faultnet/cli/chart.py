"""`chart`: the plan of a trouble on paper, for the wall or the clipboard."""

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli import options
from faultnet.cli.asked import Asked
from faultnet.cli.output import CannotWriteError, show, show_json, write_file
from faultnet.cli.refusal import PROBLEMS

if TYPE_CHECKING:
    from faultnet.cli.screen import Screen
    from faultnet.drawing.chart.chart import Chart

EXAMPLES = """\b
Examples:
  faultnet chart jet-pump-cistern -f short-cycles-drawing=yes
      --out short-cycling.pdf
  faultnet chart jet-pump-cistern -f never-shuts-off=yes
      -l tank=captive-air --depth 2 --paper letter --out never.svg
  faultnet chart jet-pump-cistern -f no-water=yes
      --by caller --who caller --out phone.pdf
"""
SUFFIXES = (".pdf", ".svg")
DEEPEST = 12


@dataclass(frozen=True)
class Print:
    """How a chart is wanted, and where and how it is written."""

    depth: int
    sure: float
    further: int
    paper: str
    lying: bool
    out: Path | None
    replace: bool


_PRINT = (
    click.option(
        "--depth",
        type=click.IntRange(1, DEEPEST),
        default=2,
        show_default=True,
        metavar="N",
        help="Answers that the chart goes deep.",
    ),
    click.option(
        "--sure",
        type=click.FloatRange(0.5, 1.0),
        default=0.9,
        show_default=True,
        metavar="CHANCE",
        help="A branch ends where one cause is so likely.",
    ),
    click.option(
        "--further",
        type=click.IntRange(0, 10_000),
        default=20,
        show_default=True,
        metavar="N",
        help="Places beyond the chart to look into, for what faultnet live would cost.",
    ),
    click.option(
        "--paper",
        type=click.Choice(["a4", "letter"]),
        default="a4",
        show_default=True,
        help="The paper.",
    ),
    click.option("--landscape", "lying", is_flag=True, help="The paper lies; two columns."),
    click.option(
        "-o",
        "--out",
        type=click.Path(path_type=Path),
        metavar="FILE",
        help="The file to write: .pdf, or .svg with one file for each sheet.",
    ),
    click.option("--replace", is_flag=True, help="Write over a file that is there."),
)


def _print(command: Callable[..., int]) -> Callable[..., int]:
    """Add what says how the chart is printed; handed on as ``wanted``."""
    return options.gathered(Print, "wanted", _PRINT, command)


@click.command("chart", epilog=EXAMPLES)
@options.evidence
@options.site
@_print
@options.as_json
def command(asked: Asked, who: str, wanted: Print, as_json: bool) -> int:
    """Make a chart of what to do about a trouble, answer by answer, to print.

    It follows the step that `next` finds best after every answer, and ends each branch in
    the repairs in their order. What following it costs is told beside what asking faultnet
    at every step would cost.
    """
    from faultnet.cli.unranked import dangers_first
    from faultnet.drawing.chart.grow import TooDeepError
    from faultnet.drawing.chart.made import UnchartedError, Wanted, make_chart

    _refuse(asked, wanted)
    subject, evidence = asked.looked_up()
    how = Wanted(who, wanted.depth, wanted.sure, wanted.further)
    try:
        chart = dangers_first(
            subject, evidence, lambda: make_chart(subject, evidence, how), as_json=as_json
        )
    except TooDeepError as error:
        raise click.UsageError(str(error)) from error
    except UnchartedError as error:
        from faultnet.cli.notice import conflict
        from faultnet.cli.screen import this_screen
        from faultnet.shapes.chart import uncharted_shape

        if as_json:
            show_json(uncharted_shape(subject.system.id, error.said))
        else:
            show(conflict(this_screen(), subject, error.said))
        return PROBLEMS
    files, sheets = _written(chart, wanted)
    if as_json:
        from faultnet.shapes.chart import chart_shape

        show_json(chart_shape(chart, tuple(map(str, files)), sheets))
    else:
        from faultnet.cli.screen import this_screen

        show(text(this_screen(), chart, files, sheets))
    return 0


def _refuse(asked: Asked, wanted: Print) -> None:
    """Refuse a file that would not be written, and no complaint, before any arithmetic."""
    if not asked.answers and not asked.measured:
        raise click.UsageError(
            "A chart begins with a complaint: -f FINDING=yes. "
            f"What can be told: faultnet systems {asked.system}"
        )
    out = wanted.out
    if out is None:
        return
    if out.suffix.lower() not in SUFFIXES:
        raise click.UsageError(f"A chart is a .pdf or .svg. Name such a file: --out {out.stem}.pdf")
    if not out.parent.is_dir():
        raise click.UsageError(f"The folder {out.parent} is not there. Make it, or name another.")
    if not os.access(out.parent, os.W_OK):
        raise CannotWriteError(f"{out} cannot be written: {out.parent} may not be written to.")
    taken = [path for path in (out, _numbered(out, 1)) if path.exists()]
    if taken and not wanted.replace:
        raise click.UsageError(f"{taken[0]} is there already. Name another file, or --replace it.")


def _written(chart: "Chart", wanted: Print) -> tuple[list[Path], int]:
    """Write a chart and return its files, and how many sheets it has."""
    from faultnet.drawing.chart.paper import Paper
    from faultnet.drawing.chart.sheets import lay_out
    from faultnet.drawing.chart.words import complaint, title

    sheets = lay_out(chart, Paper(wanted.paper, wanted.lying))
    out = wanted.out
    if out is None:
        return [], len(sheets)
    name = f"{title(chart)}: {complaint(chart)}"
    if out.suffix.lower() == ".pdf":
        from faultnet.drawing.chart.as_pdf import as_pdf

        write_file(out, as_pdf(sheets, name, chart.day))
        return [out], len(sheets)
    from faultnet.drawing.chart.as_svg import as_svg

    files = [out] if len(sheets) == 1 else [_numbered(out, n) for n in range(1, len(sheets) + 1)]
    for file, written in zip(files, as_svg(sheets, name), strict=True):
        write_file(file, written)
    return files, len(sheets)


def _numbered(out: Path, number: int) -> Path:
    return out.with_name(f"{out.stem}-{number}{out.suffix}")


def text(screen: "Screen", chart: "Chart", files: list[Path], sheets: int) -> list[str]:
    """Return a chart in short: its boxes, what it costs, where it was written."""
    from faultnet.cli.screen import minutes, percent
    from faultnet.drawing.chart.words import answers, costs

    lines: list[str] = []
    for box in chart.boxes:
        heading = f"{box.step.title} ({minutes(box.step.price)})"
        lines += map(screen.bold, screen.wrap(heading, 4, f"{box.number}"))
        for way in box.ways:
            said = " or ".join(answers(chart.subject, way.answers))
            goes = f"go to {way.box}" if way.box else "the repairs in order"
            lines += screen.wrap(f"{percent(way.chance).strip()} {said}: {goes}", 6, "    -")
    if chart.end is not None:
        lines += screen.wrap("No check is worth its minutes here: the repairs in order.")
    lines.append("")
    for told in costs(chart):
        lines += screen.wrap(told.replace("\u00a0", " "))
    if files:
        told = f"{sheets} sheet{'' if sheets == 1 else 's'}, written to {files[0]}"
        lines += screen.wrap(told + (f" up to {files[-1]}." if len(files) > 1 else "."))
    else:
        lines += screen.wrap(f"{sheets} sheets. To print it, name a file: --out chart.pdf")
    return lines
