"""`lint`: every problem in the knowledge files."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli.options import FOLDER, as_json
from faultnet.cli.output import show, show_json
from faultnet.cli.refusal import PROBLEMS

if TYPE_CHECKING:
    from faultnet.authoring.problem import Problem

EXAMPLES = """\b
Examples:
  faultnet lint
  faultnet lint my-knowledge --strict
"""


@click.command("lint", epilog=EXAMPLES)
@click.argument("folder", type=FOLDER, required=False)
@click.option("--strict", is_flag=True, help="Warnings count as well.")
@as_json
def command(folder: Path | None, strict: bool, as_json: bool) -> int:
    """Tell every problem in the knowledge of FOLDER, or of what came along.

    With an error the knowledge is not used. A warning only asks for a look. While an error
    stands, cases and warnings are not looked at.
    """
    from faultnet.authoring.problem import errors
    from faultnet.authoring.render import as_json as fields_of
    from faultnet.authoring.render import as_text
    from faultnet.authoring.shipped import shipped_folder

    where = folder or shipped_folder()
    problems = _problems(where)
    wrong = len(errors(problems))
    doubtful = len(problems) - wrong
    if as_json:
        counts = {"errors": wrong, "warnings": doubtful}
        show_json({"folder": str(where), **counts, "problems": fields_of(problems)})
    else:
        lines = [as_text(problems)] if problems else []
        show([*lines, f"{_count(wrong, 'error')}, {_count(doubtful, 'warning')}"])
    return PROBLEMS if wrong or (strict and doubtful) else 0


def _problems(folder: Path) -> "tuple[Problem, ...]":
    """Return the problems of knowledge and cases, and what is probably not meant."""
    from faultnet.authoring.examples import read_examples
    from faultnet.authoring.library import read_knowledge
    from faultnet.authoring.lint import lint
    from faultnet.authoring.problem import in_order

    knowledge, problems = read_knowledge(folder)
    if knowledge is None:
        return problems
    examples, more = read_examples(folder, knowledge)
    return in_order((*problems, *more, *lint(knowledge, examples)))


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"
