"""`prove`: the cases beside the knowledge."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli.options import FOLDER, as_json
from faultnet.cli.output import show, show_json
from faultnet.cli.refusal import PROBLEMS

if TYPE_CHECKING:
    from faultnet.advice.prove import Proof
    from faultnet.authoring.problem import Problem
    from faultnet.cli.screen import Screen
    from faultnet.shapes.plain import Json

EXAMPLES = """\b
Examples:
  faultnet prove
  faultnet prove my-knowledge
"""


@click.command("prove", epilog=EXAMPLES)
@click.argument("folder", type=FOLDER, required=False)
@as_json
def command(folder: Path | None, as_json: bool) -> int:
    """Run every case in the *.cases.yaml files of FOLDER, or of what came along.

    A case that fails shows what was expected, what came and the five likeliest causes.
    """
    from faultnet.advice.prove import prove
    from faultnet.authoring.examples import read_examples
    from faultnet.authoring.shipped import shipped_folder
    from faultnet.authoring.store import load
    from faultnet.cli.screen import this_screen

    where = folder or shipped_folder()
    knowledge = load(where)
    examples, problems = read_examples(where, knowledge)
    proofs: list[Proof] = []
    for proof in prove(knowledge, examples):
        proofs.append(proof)
        if not as_json and not proof.passed:
            show(_failure(this_screen(), proof))
    failed = sum(not proof.passed for proof in proofs)
    if as_json:
        show_json(_shape(where, proofs, problems))
    else:
        show(_summary(this_screen(), len(proofs), failed, problems))
    return PROBLEMS if failed or problems else 0


def _shape(folder: Path, proofs: Sequence["Proof"], problems: Sequence["Problem"]) -> "Json":
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
    }


def _failure(screen: "Screen", proof: "Proof") -> list[str]:
    """Return a case that failed: expected, came, the likeliest causes."""
    from faultnet.cli.screen import percent

    lines = [
        *map(screen.alarm, screen.wrap(f"{proof.case} fails")),
        *map(screen.dim, screen.wrap(f"{proof.place}, {proof.system}", 2)),
        *screen.wrap(proof.reason, 2),
    ]
    for miss in proof.misses:
        lines += screen.wrap(f"{miss.expectation}: expected {miss.expected}", 4, "  -")
        lines += screen.wrap(f"came: {miss.came}", 4)
    for cause in proof.top:
        lines += map(screen.dim, screen.wrap(cause.id, 11, f"    {percent(cause.probability)}"))
    return [*lines, ""]


def _summary(screen: "Screen", count: int, failed: int, problems: Sequence["Problem"]) -> list[str]:
    from faultnet.authoring.render import as_text

    lines = [as_text(problems)] if problems else []
    told = f"{count} case{'' if count == 1 else 's'}, {failed} fail." if count else "No cases."
    told += f" Problems in the files of cases: {len(problems)}." if problems else ""
    return [*lines, *screen.wrap(told)]
