"""`draw`: the network of a system, of a part, around a cause or of a case, as a picture."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli import complete, options
from faultnet.cli.asked import Asked
from faultnet.cli.extra import needed
from faultnet.cli.output import leave_alone, show, show_json, write_file
from faultnet.cli.refusal import PROBLEMS

if TYPE_CHECKING:
    from faultnet.advice.ranking import Ranking
    from faultnet.advice.subject import Subject
    from faultnet.drawing.network.graph import Graph
    from faultnet.model.evidence import Evidence

EXAMPLES = """\b
Examples:
  faultnet draw jet-pump-cistern --out network.svg
  faultnet draw jet-pump-cistern --part suction --out suction.svg
  faultnet draw jet-pump-cistern --around foot-valve-leaks-slowly
      --out foot-valve.dot
  faultnet draw jet-pump-cistern -f prime-level-falls=yes
      -l check-valve=foot --out case.svg
"""


@dataclass(frozen=True)
class Wanted:
    """What is drawn, and where and how it is written."""

    part: str | None
    cause: str | None
    weakest: float | None
    likeliest: int
    looks: bool
    form: str | None
    out: Path | None
    replace: bool


_WANTED = (
    click.option(
        "--part",
        metavar="PART",
        shell_complete=complete.parts,
        help="Only this part, with all that it is linked to.",
    ),
    click.option(
        "--around",
        "cause",
        metavar="CAUSE",
        shell_complete=complete.causes,
        help="Only this cause: its findings, their other causes, chains and checks.",
    ),
    click.option(
        "--weakest",
        type=click.FloatRange(0.0, 1.0),
        metavar="SHARE",
        help="Leave out links weaker than this, from 0 to 1.  [0.5; 0.2 for a part]",
    ),
    click.option(
        "--causes",
        "likeliest",
        type=click.IntRange(min=1),
        default=15,
        show_default=True,
        metavar="N",
        help="Causes of a case.",
    ),
    click.option("--looks", is_flag=True, help="Draw findings that are a look at one cause too."),
    click.option(
        "--format",
        "form",
        type=click.Choice(["svg", "dot", "mmd"]),
        help="By the suffix of FILE where it is not said, else svg. mmd is Mermaid.",
    ),
    click.option(
        "-o", "--out", type=click.Path(path_type=Path), metavar="FILE", help="The file to write."
    ),
    options.replace,
)


def _wanted(command: Callable[..., int]) -> Callable[..., int]:
    """Add what says which picture is wanted; handed on as ``wanted``."""
    return options.gathered(Wanted, "wanted", _WANTED, command)


@click.command("draw", epilog=EXAMPLES)
@options.evidence
@_wanted
@options.as_json
def command(asked: Asked, wanted: Wanted, as_json: bool) -> int:
    """Draw the network of SYSTEM: what leads to what, and how often.

    Causes stand left, findings right; a wide line is a strong link. With -f, -l or -m it is
    a case: what was told is marked, and causes have their probabilities. Without --out the
    picture goes to standard output. --json gives its nodes and links; with --out, it tells
    what was written.
    """
    from faultnet.cli.unranked import dangers_first
    from faultnet.drawing.network.case import is_told

    form = _form(wanted)
    if wanted.part and wanted.cause:
        raise click.UsageError("Draw a part or what is around a cause, not both.")
    subject, evidence = asked.looked_up()
    ranking: Ranking | None = None
    if is_told(evidence):
        from faultnet.advice.ranking import rank

        ranking = dangers_first(subject, evidence, lambda: rank(subject, evidence), as_json=as_json)
        if ranking.conflict:
            return _conflict(subject, evidence, ranking, as_json=as_json)
    graph = _graph(subject, wanted, evidence, ranking)
    with needed("draw"):
        _write(subject, graph, wanted, form, as_json=as_json)
    return 0


def _form(wanted: Wanted) -> str:
    from faultnet.drawing.network.drawn import FORMS

    out = wanted.out
    suffix = out.suffix.lower() if out else ".svg"
    form = wanted.form or next((f for f, known in FORMS.items() if suffix in known), "")
    if not form:
        known = ", ".join(known for suffixes in FORMS.values() for known in suffixes)
        raise click.UsageError(f"`{suffix}` is no kind of picture here: {known}; or say --format.")
    leave_alone([out] if out else [], replace=wanted.replace)
    return form


def _graph(
    subject: "Subject", wanted: Wanted, evidence: "Evidence", ranking: "Ranking | None"
) -> "Graph":
    from faultnet.advice.subject import UnknownNameError
    from faultnet.drawing.network import cut
    from faultnet.drawing.network.case import marked
    from faultnet.drawing.network.gathered import whole
    from faultnet.network.build import UNLISTED

    weakest, looks = wanted.weakest, wanted.looks
    graph = whole(subject.knowledge, subject.system)
    if ranking:
        graph = marked(graph, subject, evidence, ranking)
    if wanted.part:
        if wanted.part not in subject.system.parts:
            raise UnknownNameError("part", wanted.part, list(subject.system.parts))
        least = cut.PART if weakest is None else weakest
        return cut.of_part(graph, wanted.part, least, looks=looks)
    if wanted.cause:
        if wanted.cause not in subject.causes:
            known = [each for each in subject.causes if each != UNLISTED]
            raise UnknownNameError("cause", wanted.cause, known)
        return cut.around(graph, wanted.cause, cut.AROUND if weakest is None else weakest)
    if ranking:
        least = cut.CASE if weakest is None else weakest
        return cut.of_case(graph, least, wanted.likeliest, looks=looks)
    return cut.of_system(graph, cut.WHOLE if weakest is None else weakest, looks=looks)


def _conflict(
    subject: "Subject", evidence: "Evidence", ranking: "Ranking", *, as_json: bool
) -> int:
    """Tell that nothing can be drawn, as ``rank`` does."""
    from faultnet.cli.rank import text
    from faultnet.cli.screen import this_screen
    from faultnet.shapes.ranking import rank_shape

    if as_json:
        show_json(rank_shape(ranking, evidence, None))
    else:
        show(text(this_screen(), subject, ranking, 0))
    return PROBLEMS


def _write(subject: "Subject", graph: "Graph", wanted: Wanted, form: str, *, as_json: bool) -> None:
    from faultnet.drawing.network.drawn import drawn

    out = wanted.out
    if out is None and as_json:
        from faultnet.shapes.drawing import drawing_shape

        return show_json(drawing_shape(subject.system.id, graph))
    picture = drawn(graph, form)
    if out is None:
        return show([picture.decode().rstrip("\n")])
    write_file(out, picture)
    counts = {"nodes": len(graph.nodes), "links": len(graph.edges)}
    if as_json:
        from faultnet.shapes.plain import plain

        told = {"system": subject.system.id, "file": str(out), "format": form}
        left = {"left_out": plain(graph.left_out), "warnings": list(graph.warnings)}
        return show_json({**told, "bytes": len(picture), **counts, **left})
    from faultnet.cli.screen import this_screen

    screen = this_screen()
    lines = [line for each in graph.warnings for line in screen.wrap(each)]
    lines += screen.wrap(f"{graph.title}: {counts['nodes']} boxes, {counts['links']} lines.")
    lines += [line for each in graph.told_below for line in screen.wrap(each)]
    return show([*lines, f"Written to {out}"])
