"""`margins`: how far each number may move before another cause comes first."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli import options
from faultnet.cli.asked import Asked
from faultnet.cli.output import show, show_json, write_file
from faultnet.cli.refusal import PROBLEMS

if TYPE_CHECKING:
    from faultnet.advice.subject import Subject
    from faultnet.review.sensitivity.case import CaseMargins

SHOWN = 10
"""Numbers on the screen."""

EXAMPLES = """\b
Examples:
  faultnet margins jet-pump-cistern -f gauge-falls-isolated=yes
  faultnet margins jet-pump-cistern -f never-shuts-off=yes
      --words --picture margins.svg
  faultnet margins jet-pump-cistern --cases
"""


@click.command("margins", epilog=EXAMPLES)
@options.evidence
@click.option("--cases", "over", is_flag=True, help="Over all cases beside the knowledge.")
@click.option("--words", is_flag=True, help="Move each word as a whole, too; takes a while.")
@click.option("--next-step", is_flag=True, help="Look at the next step, too; takes a while.")
@click.option(
    "--limit", type=click.IntRange(min=1), metavar="N", help=f"Numbers to show; {SHOWN} of them."
)
@click.option(
    "--picture",
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="FILE",
    help="Draw the numbers as a picture (SVG).",
)
@options.as_json
def command(
    asked: Asked,
    over: bool,
    words: bool,
    next_step: bool,
    limit: int | None,
    picture: Path | None,
    as_json: bool,
) -> int:
    """Show how far each number may move before another cause comes first.

    Give what was seen as for rank. The numbers stand first that likeliest change the first
    cause, if they are as far off as numbers of their origin usually are. With --cases these
    are the numbers most worth asking a colleague about.
    """
    if over:
        return _over_cases(asked, limit or SHOWN, picture, as_json=as_json)
    from faultnet.cli.unranked import dangers_first
    from faultnet.review.sensitivity.case import Wanted, case_margins

    subject, evidence = asked.looked_up()
    wanted = Wanted(limit or SHOWN, words, next_step)
    found = dangers_first(
        subject, evidence, lambda: case_margins(subject, evidence, wanted), as_json=as_json
    )
    if picture is not None and not found.conflict:
        from faultnet.drawing.margins import picture as drawn

        drawing = drawn(
            subject.system.title, subject.title(found.first), found.margins, found.reach
        )
        write_file(picture, drawing.encode())
    _shown(subject, found, as_json=as_json)
    return PROBLEMS if found.conflict else 0


def _shown(subject: "Subject", found: "CaseMargins", *, as_json: bool) -> None:
    if as_json:
        from faultnet.shapes.margins import margins_shape

        show_json(margins_shape(subject.system.id, found))
        return
    from faultnet.cli.margins_shown import case_text
    from faultnet.cli.screen import this_screen

    show(case_text(this_screen(), subject, found))


def _over_cases(asked: Asked, limit: int, picture: Path | None, *, as_json: bool) -> int:
    from faultnet.advice.subject import make_subject
    from faultnet.authoring.examples import read_examples
    from faultnet.authoring.render import as_json as fields_of
    from faultnet.authoring.render import as_text
    from faultnet.authoring.shipped import shipped_folder
    from faultnet.authoring.store import load
    from faultnet.cli.progress import told
    from faultnet.review.sensitivity.cases import look, over_cases
    from faultnet.sharing.workers import processors

    if picture is not None or asked.answers or asked.layout or asked.measured or asked.mended:
        raise click.UsageError("With --cases nothing is said of a case, and none is drawn.")
    where = asked.folder or shipped_folder()
    knowledge = load(where)
    subject = make_subject(knowledge, asked.system)
    examples, problems = read_examples(where, knowledge)
    wanted = [e for e in examples if e.system == asked.system]
    found = over_cases(told(look(knowledge, wanted, processors()), len(wanted), "cases"))
    if as_json:
        from faultnet.shapes.margins import asked_shape

        show_json(asked_shape(asked.system, found, limit, fields_of(problems)))
    else:
        from faultnet.cli.margins_shown import cases_text
        from faultnet.cli.screen import this_screen

        before = [as_text(problems), ""] if problems else []
        show([*before, *cases_text(this_screen(), subject, found, limit)])
    return PROBLEMS if problems else 0
