"""`lint`: every problem in the knowledge files."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli import complete
from faultnet.cli.options import FOLDER, as_json
from faultnet.cli.output import show, show_json
from faultnet.cli.refusal import PROBLEMS

if TYPE_CHECKING:
    from faultnet.authoring.acceptance import Sifted
    from faultnet.cli.screen import Screen
    from faultnet.shapes.plain import Json

EXAMPLES = """\b
Examples:
  faultnet lint
  faultnet lint my-knowledge --strict
  faultnet lint my-knowledge --accepted
  faultnet lint --explain question-too-long
  faultnet lint my-knowledge --format sarif > lint.sarif
"""


@click.command("lint", epilog=EXAMPLES)
@click.argument("folder", type=FOLDER, required=False)
@click.option("--strict", is_flag=True, help="Warnings count as well.")
@click.option("--accepted", "listed", is_flag=True, help="Also list what is accepted, and why.")
@click.option("--edges", is_flag=True, help="Numbers that cases hang on, too; takes minutes.")
@click.option(
    "--explain",
    "code",
    metavar="CODE",
    shell_complete=complete.codes,
    help="Tell what a code means, and no more.",
)
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json", "sarif"]),
    default="text",
    show_default=True,
    help="How it is written; sarif is what hosts of code show beside the lines.",
)
@as_json
def command(
    folder: Path | None,
    strict: bool,
    listed: bool,
    edges: bool,
    code: str | None,
    form: str,
    as_json: bool,
) -> int:
    """Tell every problem in the knowledge of FOLDER, or of what came along.

    With an error the knowledge is not used. A warning only asks for a look. While an error
    stands, cases and warnings are not looked at. A warning that an entry accepts with a
    reason is counted apart.
    """
    from faultnet.authoring.problem import errors
    from faultnet.authoring.shipped import shipped_folder

    if code is not None:
        show(_meaning(code))
        return 0
    where = folder or shipped_folder()
    sifted = _told(where, edges=edges)
    if as_json or form == "json":
        show_json(_shape(where, sifted))
    elif form == "sarif":
        _show_sarif(sifted, where)
    else:
        show(_lines(sifted, listed=listed))
    return PROBLEMS if errors(sifted.problems) or (strict and sifted.problems) else 0


def _told(folder: Path, *, edges: bool) -> "Sifted":
    """Return the problems of knowledge and cases, and what is probably not meant."""
    from faultnet.authoring.acceptance import Sifted, sift
    from faultnet.authoring.examples import read_examples
    from faultnet.authoring.library import read_knowledge
    from faultnet.authoring.lint import lint
    from faultnet.review.facts import facts

    knowledge, problems = read_knowledge(folder)
    if knowledge is None:
        return Sifted(problems, ())
    examples, more = read_examples(folder, knowledge)
    found = (*problems, *more, *lint(knowledge, examples), *facts(knowledge, examples))
    if edges:
        from faultnet.review.sensitivity.edge import on_edge
        from faultnet.sharing.workers import processors

        found = (*found, *on_edge(knowledge, examples, processors()))
    return sift(found, knowledge.accepted)


def _counts(sifted: "Sifted") -> tuple[int, int]:
    from faultnet.authoring.problem import errors

    wrong = len(errors(sifted.problems))
    return wrong, len(sifted.problems) - wrong


def _shape(folder: Path, sifted: "Sifted") -> "Json":
    from faultnet.authoring.render import accepted_as_json
    from faultnet.authoring.render import as_json as fields_of

    wrong, doubtful = _counts(sifted)
    return {
        "folder": str(folder),
        "errors": wrong,
        "warnings": doubtful,
        "problems": fields_of(sifted.problems),
        "accepted": accepted_as_json(sifted.accepted),
    }


def _show_sarif(sifted: "Sifted", folder: Path) -> None:
    """Write the log as the standard has it, without a version of ours."""
    import json

    from faultnet.authoring.sarif import as_sarif

    show([json.dumps(as_sarif(sifted, folder), indent=2)])


def _lines(sifted: "Sifted", *, listed: bool) -> list[str]:
    from faultnet.authoring.render import accepted_as_text, as_text
    from faultnet.cli.screen import this_screen

    wrong, doubtful = _counts(sifted)
    told = f"{_count(wrong, 'error')}, {_count(doubtful, 'warning')}"
    texts = [as_text(sifted.problems)]
    if sifted.accepted:
        texts += [accepted_as_text(sifted.accepted)] * listed
        told += f", {len(sifted.accepted)} accepted with a reason"
    lines = [line for text in texts if text for line in text.split("\n")]
    # Other programs read a problem off one line; a person at a terminal reads words.
    screen = this_screen()
    if sys.stdout.isatty():
        lines = [part for line in lines for part in _wrapped(line, screen)]
    return [*lines, *screen.wrap(told)]


def _wrapped(line: str, screen: "Screen") -> list[str]:
    """Return a line in lines below each other: a place from the edge, a hint or reason set in."""
    indent = 4 if line.startswith("    ") else 2
    return screen.wrap(line[indent:], indent, line[:indent])


def _meaning(code: str) -> list[str]:
    """Return what a code means; raise for one that there is not."""
    from faultnet.authoring.code import CODES, WARNINGS
    from faultnet.authoring.explained import explained
    from faultnet.authoring.nearest import did_you_mean
    from faultnet.cli.screen import this_screen

    if code not in CODES:
        hint = did_you_mean(code, CODES)
        message = f"There is no code `{code[:40]}`. {hint}".strip()
        raise click.BadParameter(message, param_hint="--explain")
    screen = this_screen()
    lines = [f"{code}: {'a warning' if code in WARNINGS else 'an error'}"]
    meaning = explained().get(code)
    if meaning is None:
        return [*lines, *screen.wrap("The page that explains it, problems.md, is not here.")]
    for paragraph in meaning.text.split("\n\n"):
        lines += ["", *screen.wrap(" ".join(paragraph.split()))]
    for title, box in (("The fault:", meaning.fault), ("The mend:", meaning.mend)):
        if box:
            lines += ["", title, *(f"  {line}".rstrip() for line in box.splitlines())]
    return lines


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"
