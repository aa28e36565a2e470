"""`compare`: two versions of the knowledge, in the files and in the answers."""

from contextlib import ExitStack
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli import options
from faultnet.cli.output import show, show_json
from faultnet.cli.refusal import PROBLEMS

if TYPE_CHECKING:
    from collections.abc import Iterable

    from faultnet.review.compare.comparison import Comparison, Side
    from faultnet.review.compare.version import Version
    from faultnet.review.failure import Told
    from faultnet.shapes.plain import Json

EXAMPLES = """\b
Examples:
  faultnet compare HEAD my-knowledge
  faultnet compare HEAD~3 HEAD --home my-knowledge
  faultnet compare old-knowledge my-knowledge --calls 400
  faultnet compare main my-knowledge --markdown
"""


@dataclass(frozen=True)
class Asking:
    """What is asked of both versions, and by how many processes."""

    calls: int
    seed: int
    workers: int


@dataclass(frozen=True)
class Showing:
    """How the comparison is shown."""

    worst: int
    markdown: bool
    as_json: bool


_ASKING = (
    click.option(
        "--calls",
        type=click.IntRange(0, 100_000),
        default=200,
        show_default=True,
        metavar="NUMBER",
        help="Simulated calls that are put to both versions.",
    ),
    click.option(
        "--seed",
        type=click.IntRange(0),
        default=1,
        show_default=True,
        metavar="NUMBER",
        help="Which calls are drawn; the same number draws the same calls.",
    ),
    options.workers,
)
_SHOWING = (
    click.option(
        "--worst",
        type=click.IntRange(0),
        default=10,
        show_default=True,
        metavar="NUMBER",
        help="Cases and calls shown one by one.",
    ),
    click.option("--markdown", is_flag=True, help="Write Markdown, for a review."),
    options.as_json,
)


@click.command("compare", epilog=EXAMPLES)
@click.argument("old")
@click.argument("new")
@click.option(
    "--home",
    type=options.FOLDER,
    metavar="FOLDER",
    help="The folder whose revisions are meant; without it, the other side.",
)
@partial(options.gathered, Asking, "asking", _ASKING)
@partial(options.gathered, Showing, "showing", _SHOWING)
def command(old: str, new: str, home: Path | None, asking: Asking, showing: Showing) -> int:
    """Compare the knowledge OLD with NEW: each a folder, or a revision of git.

    A folder of the name goes first. Shows what changed in the files by what it means, and
    what that does to all cases and to simulated calls. Exits with 1 when a case that
    passed now fails, and with 0 whatever else differs.
    """
    from faultnet.cli.progress import told
    from faultnet.review.compare.comparison import Comparing
    from faultnet.review.compare.version import opened

    with ExitStack() as stack:
        before, now = (
            _read(stack.enter_context(opened(name, home or _folder(other))))
            for name, other in ((old, new), (new, old))
        )
        comparing = Comparing(before, now, asking.calls, asking.seed)
        asked = len(comparing.asked)
        differences = [*told(comparing.differences(asking.workers), asked, "cases and calls")]
    found = comparing.comparison(differences)
    _show(found, showing)
    return PROBLEMS if found.now_fail else 0


def _folder(name: str) -> Path | None:
    return Path(name) if Path(name).is_dir() else None


def _read(version: "Version") -> "Side":
    """Read one version, and say on the side which one it is that has problems."""
    from faultnet.authoring.problem import KnowledgeError
    from faultnet.authoring.render import as_text
    from faultnet.review.compare.comparison import side

    try:
        read = side(version)
    except KnowledgeError:
        click.echo(f"{version.name} cannot be compared:", err=True)
        raise
    if read.problems:
        click.echo(f"Left out of {version.name}, for they cannot be read:", err=True)
        click.echo(as_text(read.problems), err=True)
    return read


def _show(found: "Comparison", showing: Showing) -> None:
    from faultnet.review.compare.told import comparison_told

    if showing.as_json:
        show_json(_shape(found))
        return
    lines = comparison_told(found, showing.worst)
    show(_markdown(lines) if showing.markdown else told_text(lines))


def _shape(found: "Comparison") -> "Json":
    from faultnet.shapes.plain import plain

    return plain(found)


def told_text(lines: "Iterable[Told]") -> list[str]:
    """Return a comparison in words as it stands on this screen."""
    from faultnet.cli.screen import this_screen

    screen = this_screen()
    arrow = "\u2192" if screen.drawing else "->"
    written: list[str] = []
    for each in lines:
        text = each.text.replace("\u2192", arrow)
        wrapped = screen.wrap(text, each.indent, each.before)
        if each.kind == "head":
            written += ["", *map(screen.bold, wrapped)] if written else map(screen.bold, wrapped)
        else:
            written += map(screen.dim, wrapped) if each.kind == "aside" else wrapped
    return written


def _markdown(lines: "Iterable[Told]") -> list[str]:
    """Headings, and lists with lists below their entries."""
    written: list[str] = []
    for each in lines:
        text = _escaped(each.text)
        if each.kind == "head":
            written += ["", f"### {text}", ""] if written else [f"## {text}", ""]
        elif each.kind == "item":
            written.append(f"- {text}")
        else:
            text = f"`{each.text}`" if each.kind == "aside" else text
            written.append(f"  - {text}" if each.indent else text)
    return written


def _escaped(text: str) -> str:
    """Text in which Markdown sees nothing but letters."""
    return "".join(f"\\{c}" if c in "\\`*_<>[]|#~" else c for c in text)
