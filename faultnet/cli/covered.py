"""`prove --coverage`: what no case beside the knowledge exercises."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from faultnet.cli.output import show, show_json

if TYPE_CHECKING:
    from faultnet.authoring.problem import Problem
    from faultnet.cli.screen import Screen
    from faultnet.model.example import Example
    from faultnet.model.knowledge import Knowledge
    from faultnet.review.coverage import Entry

HEADINGS = {
    "cause": "Causes that a case expects",
    "finding": "Findings that a case answers",
    "strength": "Strengths and rules between a cause expected and a finding answered",
    "likelier-when": "Circumstances and layout that make a cause expected likelier",
    "check": "Checks that a case expects next, or gives an answer of",
    "layout": "Layout that a case names",
    "danger": "Dangers that a case gives and expects",
}


def show_coverage(
    folder: Path,
    knowledge: "Knowledge",
    examples: "Sequence[Example]",
    problems: "Sequence[Problem]",
    *,
    as_json: bool,
) -> None:
    """Show what cases exercise, and what they do not, with its places."""
    from faultnet.authoring import render
    from faultnet.cli.screen import this_screen
    from faultnet.review.coverage import coverage

    entries = coverage(knowledge, examples)
    if as_json:
        shown = {
            "folder": str(folder),
            "cases": len(examples),
            "counts": [
                {"kind": kind, "exercised": sum(bool(e.cases) for e in some), "of": len(some)}
                for kind, some in _by_kind(entries).items()
            ],
            "entries": [
                {"kind": e.kind, "id": e.id, "place": str(e.place), "cases": list(e.cases)}
                for e in entries
            ],
            "problems": render.as_json(problems),
        }
        show_json(shown)
        return
    lines = [render.as_text(problems), ""] if problems else []
    for kind, some in _by_kind(entries).items():
        lines += _kind(this_screen(), HEADINGS[kind], some)
    show([*lines, f"{len(examples)} case{'' if len(examples) == 1 else 's'}."])


def _by_kind(entries: "Sequence[Entry]") -> "dict[str, list[Entry]]":
    from faultnet.review.coverage import KINDS

    return {kind: [entry for entry in entries if entry.kind == kind] for kind in KINDS}


def _kind(screen: "Screen", heading: str, entries: "Sequence[Entry]") -> list[str]:
    lost = [entry for entry in entries if not entry.cases]
    told = f"{heading}: {len(entries) - len(lost)} of {len(entries)}."
    lines = [*map(screen.bold, screen.wrap(told + (" Not these:" if lost else "")))]
    for entry in lost:
        lines += screen.wrap(entry.id, 4, "  -")
        lines += map(screen.dim, screen.wrap(str(entry.place), 4))
    return [*lines, ""]
