"""The visits that are kept on this machine, listed and found again."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli.output import show, show_json

if TYPE_CHECKING:
    from faultnet.visit.kept import Kept


def unfinished() -> str:
    """Return a remark about the visit that was left last, or nothing."""
    from faultnet.visit.kept import last_unfinished

    kept = last_unfinished(folder())
    return f"Not finished: {kept.id}. It goes on with --resume." if kept else ""


def find(case: str | None) -> "Kept":
    """Return the visit that was asked for; only one with a readable beginning."""
    from faultnet.authoring.nearest import did_you_mean
    from faultnet.visit.kept import all_visits, last_unfinished

    if case is None:
        last = last_unfinished(folder())
        if last is None:
            raise click.UsageError("There is no unfinished visit. Begin one: faultnet visit")
        return last
    visits = [kept for kept in all_visits(folder()) if kept.opened]
    for kept in visits:
        if kept.id == case:
            return kept
    hint = did_you_mean(case, [kept.id for kept in visits])
    raise click.UsageError(f"There is no visit `{case[:40]}`. {hint}".rstrip())


def listed(*, as_json: bool) -> int:
    """Show every visit."""
    from faultnet.cli.screen import this_screen
    from faultnet.visit.kept import all_visits

    visits = all_visits(folder())
    if as_json:
        show_json({"visits": [shape(kept) for kept in visits]})
        return 0
    screen = this_screen()
    lines: list[str] = []
    for kept in visits:
        fields = shape(kept)
        lines += [screen.bold(kept.id), *screen.wrap(str(fields["system"] or "unreadable"), 2)]
        state = fields["ended"] or "not finished"
        lines += screen.wrap(f"{state}; last entry {fields['last'] or 'unknown'}", 2)
    show(lines or ["No visits are kept."])
    return 0


def shape(kept: "Kept") -> dict[str, object]:
    """Return a visit for JSON."""
    return {
        "id": kept.id,
        "system": kept.opened.system if kept.opened else None,
        "ended": kept.ended or None,
        "events": len(kept.entries),
        "lost_lines": kept.lost,
        "last": kept.entries[-1].at if kept.entries else None,
    }


def folder() -> Path:
    """Return where visits lie."""
    from faultnet.cli.places import data_folder

    return data_folder() / "visits"
