"""`add`: a new cause, finding or check, asked for one thing at a time and written in place."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli import options
from faultnet.cli.output import show, show_json
from faultnet.cli.own_knowledge import refuse_unwritable, written
from faultnet.cli.refusal import PROBLEMS

if TYPE_CHECKING:
    from faultnet.authoring.adding.addition import Answers
    from faultnet.authoring.problem import Problem
    from faultnet.authoring.whole import Whole
    from faultnet.authoring.writing.change import Change
    from faultnet.model.knowledge import Knowledge

EXAMPLES = """\b
Examples:
  faultnet add cause my-knowledge
  faultnet add finding my-knowledge
  faultnet add cause my-knowledge --answers new-cause.yaml
  faultnet add cause my-knowledge --answers - --yes < new-cause.yaml
"""


@dataclass(frozen=True)
class Wanted:
    """How the addition comes and what happens with it."""

    answers: Path | None
    at_once: bool
    as_json: bool


_WANTED = (
    click.option(
        "--answers",
        type=click.Path(exists=True, dir_okay=False, allow_dash=True, path_type=Path),
        metavar="FILE",
        help="Take all answers from a YAML file instead of asking; - is standard input.",
    ),
    click.option("--yes", "at_once", is_flag=True, help="Write without asking once more."),
    options.as_json,
)


def _wanted(command: options.Command) -> options.Command:
    return options.gathered(Wanted, "wanted", _WANTED, command)


@click.command("add", epilog=EXAMPLES)
@click.argument("kind", type=click.Choice(["cause", "finding", "check"]))
@click.argument("folder", type=options.FOLDER, required=False)
@_wanted
def command(kind: str, folder: Path | None, wanted: Wanted) -> int:
    """Add a cause, a finding or a check to the knowledge of FOLDER, guided.

    One question per screen, each with what it is for. Every answer is checked at once, as
    `lint` would; you can go back, and stop without writing. At the end you see the change, line
    by line, and are asked before it is written. All other lines stay as they are.
    """
    from faultnet.authoring.problem import KnowledgeError, errors
    from faultnet.authoring.shipped import shipped_folder
    from faultnet.authoring.whole import whole_of

    if wanted.as_json and wanted.answers is None:
        raise click.UsageError("--json goes with --answers.")
    where = folder or shipped_folder()
    refuse_unwritable(where, f"faultnet add {kind} my-knowledge")
    whole = whole_of(where)
    knowledge, problems = whole.judged()
    if knowledge is None:
        raise KnowledgeError(errors(problems))
    adding = Adding(kind, where, whole, knowledge, problems)
    if wanted.answers is None:
        return _guided(adding, at_once=wanted.at_once)
    return _scripted(adding, _read(wanted.answers), wanted)


@dataclass(frozen=True)
class Adding:
    """What is added to which knowledge."""

    kind: str
    folder: Path
    whole: "Whole"
    knowledge: "Knowledge"
    before: "tuple[Problem, ...]"

    def changed(self, answers: "Answers") -> "tuple[tuple[Change, ...], tuple[Problem, ...]]":
        """Return the files with the addition, and the problems that come with it."""
        from faultnet.authoring.adding.addition import changes_of, new_problems

        changes = changes_of(self.kind, answers, self.whole, self.knowledge)
        return changes, new_problems(self.before, self.whole, changes)

    def write(self, changes: "tuple[Change, ...]") -> None:
        """Write the files; raise ``CannotWriteError`` and ``ChangedMeanwhileError``."""
        written(self.folder, changes)


def _guided(adding: Adding, *, at_once: bool) -> int:
    """Ask, show, and write when that is agreed."""
    from functools import partial

    from faultnet.authoring.adding.at_hand import AtHand
    from faultnet.authoring.adding.cause import cause
    from faultnet.authoring.adding.finding import check, finding
    from faultnet.authoring.adding.question import Guide
    from faultnet.authoring.problem import errors
    from faultnet.cli.adding import BACK, agreed, hold, index_of
    from faultnet.cli.conversation import Conversation

    talker = Conversation()
    walks = {"cause": cause, "finding": finding, "check": check}
    guide = Guide(
        partial(
            walks[adding.kind], AtHand(adding.knowledge, index_of(adding.knowledge), adding.whole)
        )
    )
    while (answers := hold(talker, guide)) is not None:
        changes, told = adding.changed(answers)
        sound = not errors(told)
        if not (at_once and sound):
            reply = agreed(talker, _shown(changes, told), sound=sound)
            if reply == BACK:
                guide.back()
                continue
            if getattr(reply, "view", "") != "write":
                break
        adding.write(changes)
        show(["", *_written(adding, changes)])
        return 0
    show(["", "Nothing was written."])
    return 0


def _scripted(adding: Adding, answers: "Answers", wanted: Wanted) -> int:
    """Take the answers as they are; write with --yes and without an error."""
    from faultnet.authoring.problem import errors
    from faultnet.authoring.render import as_json

    changes, told = adding.changed(answers)
    wrong = bool(errors(told))
    written = wanted.at_once and not wrong
    if written:
        adding.write(changes)
    if wanted.as_json:
        files = [{"file": x.name, "new": x.before is None, "diff": x.lines()} for x in changes]
        head = {"folder": str(adding.folder), "kind": adding.kind, "id": str(answers["id"])}
        show_json({**head, "written": written, "changes": files, "problems": as_json(told)})
    else:
        otherwise = "Nothing was written: an error stands." if wrong else _DRY
        show([*_shown(changes, told), *(_written(adding, changes) if written else [otherwise])])
    return PROBLEMS if wrong else 0


_DRY = "Nothing was written; with --yes it is."


def _shown(changes: "tuple[Change, ...]", told: "tuple[Problem, ...]") -> list[str]:
    """Return the change line by line, and what comes with it."""
    from faultnet.authoring.render import as_text

    lines = [line for change in changes for line in (*change.lines(), "")]
    return [*lines, *as_text(told).splitlines(), *([""] if told else [])]


def _written(adding: Adding, changes: "tuple[Change, ...]") -> list[str]:
    names = (f"Written: {adding.folder / change.name}" for change in changes)
    return [*names, f"Now run: faultnet prove {adding.folder}"]


def _read(path: Path) -> "Answers":
    """Return the answers of a YAML file; raise ``KnowledgeError`` where it holds none."""
    import sys

    from faultnet.authoring.files import File, one_file
    from faultnet.authoring.node import Mapping, value_of
    from faultnet.authoring.parse import parse
    from faultnet.authoring.problem import KnowledgeError, Problem, problem

    if str(path) == "-":
        file: File | Problem = File("answers", "answers", sys.stdin.buffer.read())
    else:
        file = one_file(path)
    if isinstance(file, Problem):
        raise KnowledgeError((file,))
    node, problems = parse(file)
    if node is not None and not isinstance(node, Mapping):
        told = "The answers must be keys with values."
        problems = (*problems, problem("wrong-type", node.origin, told, "Write `title: ...`."))
    if node is None or problems:
        raise KnowledgeError(problems)
    answers = value_of(node)
    assert isinstance(answers, dict)
    return answers
