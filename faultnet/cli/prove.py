"""`prove`: the cases beside the knowledge."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from math import isfinite
from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli import complete, options
from faultnet.cli.output import show, show_json
from faultnet.cli.refusal import PROBLEMS

if TYPE_CHECKING:
    from faultnet.advice.against import Against
    from faultnet.advice.prove import Proof
    from faultnet.authoring.problem import Problem
    from faultnet.cli.screen import Screen
    from faultnet.model.example import Example
    from faultnet.shapes.plain import Json

EXAMPLES = """\b
Examples:
  faultnet prove
  faultnet prove my-knowledge --failed
  faultnet prove --system jet-pump-cistern --case prime
  faultnet prove my-knowledge --coverage
"""


@dataclass(frozen=True)
class Choice:
    """Which cases are wanted."""

    systems: tuple[str, ...]
    named: tuple[str, ...]
    failed: bool

    def of(self, folder: Path, examples: "Sequence[Example]") -> "list[Example]":
        """Return the cases of a folder that are wanted; raise ``UnknownNameError``."""
        from faultnet.review.last_time import failed_last_time
        from faultnet.review.proofs import chosen

        among = failed_last_time(folder) if self.failed else None
        if self.failed and among is None:
            click.echo("No earlier run is known: all cases are proved.", err=True)
        return chosen(examples, self.systems, self.named, among)


_CHOICE = (
    click.option(
        "--system",
        "systems",
        multiple=True,
        metavar="SYSTEM",
        shell_complete=complete.systems,
        help="Only cases of this system.",
    ),
    click.option(
        "--case",
        "named",
        multiple=True,
        metavar="ID",
        help="Only this case, or those with this in their ids.",
    ),
    click.option("--failed", is_flag=True, help="Only the cases that failed the last time."),
)


@click.command("prove", epilog=EXAMPLES)
@click.argument("folder", type=options.FOLDER, required=False)
@partial(options.gathered, Choice, "choice", _CHOICE)
@click.option("--coverage", "covering", is_flag=True, help="Tell what no case exercises instead.")
@options.workers
@options.as_json
def command(
    folder: Path | None, choice: Choice, covering: bool, workers: int, as_json: bool
) -> int:
    """Run every case in the *.cases.yaml files of FOLDER, or of what came along.

    A case that fails shows what was expected, what came, which authored lines spoke for
    the one cause and for the other, and the five likeliest causes.
    """
    from faultnet.authoring.examples import read_examples
    from faultnet.authoring.shipped import shipped_folder
    from faultnet.authoring.store import load
    from faultnet.cli.progress import told
    from faultnet.cli.screen import this_screen
    from faultnet.review.last_time import keep_failed
    from faultnet.review.proofs import prove

    where = folder or shipped_folder()
    knowledge = load(where)
    examples, problems = read_examples(where, knowledge)
    wanted = choice.of(where, examples)
    if covering:
        from faultnet.cli.covered import show_coverage

        show_coverage(where, knowledge, wanted, problems, as_json=as_json)
        return PROBLEMS if problems else 0
    proofs = []
    for proof in told(prove(knowledge, wanted, workers), len(wanted), "cases"):
        proofs.append(proof)
        if not (as_json or proof.passed):
            show(_failure(this_screen(), proof))
    keep_failed(where, [p.case for p in proofs], [p.case for p in proofs if not p.passed])
    if as_json:
        show_json(_shape(where, proofs, problems))
    else:
        none = "No case failed the last time." if choice.failed else "No cases."
        show(_summary(this_screen(), proofs, problems, none))
    return PROBLEMS if problems or not all(proof.passed for proof in proofs) else 0


def _shape(folder: Path, proofs: "Sequence[Proof]", problems: "Sequence[Problem]") -> "Json":
    from faultnet.authoring.render import as_json

    return {
        "folder": str(folder),
        "cases": len(proofs),
        "failed": sum(not proof.passed for proof in proofs),
        "results": [_result(proof) for proof in proofs],
        "problems": as_json(problems),
    }


def _result(proof: "Proof") -> "Json":
    return {
        "id": proof.case,
        "system": proof.system,
        "reason": proof.reason,
        "place": str(proof.place),
        "passed": proof.passed,
        "misses": [
            {"expectation": m.expectation, "expected": m.expected, "came": m.came}
            for m in proof.misses
        ],
        "top": [{"id": c.id, "title": c.title, "probability": c.probability} for c in proof.top],
        "against": _against(proof.against) if proof.against else None,
    }


def _against(against: "Against") -> "Json":
    """What spoke for the cause that came and for the one expected; a factor may be too large."""
    return {
        "came": against.one,
        "expected": against.other,
        "pushes": [
            {
                "about": push.about,
                "answer": push.answer,
                "factor": push.factor if isfinite(push.factor) else None,
                "lines": [{"text": line.text, "place": line.place} for line in push.lines],
            }
            for push in against.pushes
        ],
    }


def _failure(screen: "Screen", proof: "Proof") -> list[str]:
    """Return a case that failed, as wide as the screen."""
    from faultnet.review.failure import failure

    styles: dict[str, Callable[[str], str]] = {
        "head": screen.alarm,
        "aside": screen.dim,
        "text": str,
    }
    lines: list[str] = []
    for each in failure(proof):
        lines += map(styles[each.kind], screen.wrap(each.text, each.indent, each.before))
    return [*lines, ""]


def _summary(
    screen: "Screen", proofs: "Sequence[Proof]", problems: "Sequence[Problem]", none: str
) -> list[str]:
    from faultnet.authoring.render import as_text

    lines = [as_text(problems)] if problems else []
    count, failed = len(proofs), sum(not proof.passed for proof in proofs)
    told = f"{count} case{'' if count == 1 else 's'}, {failed} fail." if count else none
    told += f" Problems in the files of cases: {len(problems)}." if problems else ""
    return [*lines, *screen.wrap(told)]
