"""`systems`: what can be asked about, and what can be said of it."""

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli import complete, options
from faultnet.cli.asked import Asked
from faultnet.cli.output import show, show_json

if TYPE_CHECKING:
    from faultnet.cli.screen import Screen
    from faultnet.model.system import System
    from faultnet.shapes.system import SayableShape

Entry = tuple[str, str, tuple[str, ...]]
"""Id, title and values of something that can be said."""

EXAMPLES = """\b
Examples:
  faultnet systems
  faultnet systems jet-pump-cistern
"""


@click.command("systems", epilog=EXAMPLES)
@click.argument("system", required=False, shell_complete=complete.systems)
@options.knowledge
@options.as_json
def command(system: str | None, folder: Path | None, as_json: bool) -> int:
    """List the systems; with SYSTEM, list what can be said of it."""
    from faultnet.authoring.shipped import shipped_folder
    from faultnet.authoring.store import load
    from faultnet.cli.imported import found, kept_names
    from faultnet.cli.screen import this_screen
    from faultnet.shapes.plain import plain
    from faultnet.shapes.system import sayable_shape, system_shape

    knowledge = load(folder or shipped_folder())
    if system is None:
        entries, kept = list(knowledge.systems.values()), kept_names()
        if as_json:
            show_json(
                {"systems": [plain(system_shape(each)) for each in entries], "imported": kept}
            )
        else:
            show([*_text(this_screen(), entries), *_kept(this_screen(), kept)])
        return 0
    path = found(Asked(system, folder))
    if path is not None:
        return _network(system, path, as_json=as_json)
    from faultnet.advice.subject import make_subject

    subject = make_subject(knowledge, system)
    said = sayable_shape(knowledge, subject.system, subject.findings)
    if as_json:
        show_json(said)
    else:
        show(_details(this_screen(), said))
    return 0


def _kept(screen: "Screen", names: list[str]) -> list[str]:
    """Return the networks that were imported as lines; none where there are none."""
    if not names:
        return []
    return ["", screen.bold("Imported networks"), *(f"  {name}" for name in names)]


def _network(name: str, path: Path, *, as_json: bool) -> int:
    """Show what can be said of an imported network."""
    from faultnet.cli.screen import this_screen
    from faultnet.network.read import read_network

    variables = [
        {"id": v.id, "states": list(v.states), "parents": list(v.parents)}
        for v in read_network(path).variables
    ]
    if as_json:
        show_json({"id": name, "file": str(path), "variables": variables})
        return 0
    screen = this_screen()
    lines = [screen.bold(name), "", screen.bold("Variables: -f")]
    for each in variables:
        lines += screen.wrap(f"{each['id']}: {', '.join(each['states'])}", 2)
    show(lines)
    return 0


def _text(screen: "Screen", systems: Iterable["System"]) -> list[str]:
    lines: list[str] = []
    for system in systems:
        lines += ["", screen.bold(system.id), *screen.wrap(system.title, 2)]
        lines += map(screen.dim, screen.wrap(system.about, 2))
    return lines[1:]


def _details(screen: "Screen", said: "SayableShape") -> list[str]:
    lines = [screen.bold(said.id), *screen.wrap(said.title, 2)]
    for heading, entries in _sections(said):
        lines += ["", screen.bold(heading)]
        for name, title, values in entries:
            lines += screen.wrap(f"{name}: {', '.join(values)}", 2)
            lines += map(screen.dim, screen.wrap(title, 4))
    return lines


def _sections(said: "SayableShape") -> "list[tuple[str, list[Entry]]]":
    """Return what can be said under headings that name the option to say it with."""
    seen: list[Entry] = []
    looked: list[Entry] = []
    for each in said.findings:
        (looked if each.found_cause else seen).append((each.id, each.title, each.answers))
    return [
        ("Layout: -l", [(each.id, each.title, each.values) for each in said.layout]),
        ("Just before: -f", [(each.id, each.title, ("no", "yes")) for each in said.circumstances]),
        ("Findings: -f", seen),
        ("What a look shows: -f", looked),
        ("Readings: -m", [(each.id, each.title, _parts(each.takes)) for each in said.readings]),
    ]


def _parts(takes: dict[str, str]) -> tuple[str, ...]:
    return tuple(f"{part} in {unit}" for part, unit in takes.items())
