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
    from faultnet.cli.shape import Json
    from faultnet.model.knowledge import Knowledge
    from faultnet.model.system import System

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

    knowledge = load(folder or shipped_folder())
    if system is None:
        entries, kept = list(knowledge.systems.values()), kept_names()
        if as_json:
            show_json({"systems": [_shape(each) for each in entries], "imported": kept})
        else:
            show([*_text(this_screen(), entries), *_kept(this_screen(), kept)])
        return 0
    path = found(Asked(system, folder))
    if path is not None:
        return _network(system, path, as_json=as_json)
    from faultnet.advice.subject import make_subject

    subject = make_subject(knowledge, system)
    said = _sayable(knowledge, subject.system, subject.findings)
    if as_json:
        show_json({**_shape(subject.system), **said})
    else:
        show(_details(this_screen(), subject.system, said))
    return 0


def _shape(system: "System") -> "Json":
    return {
        "id": system.id,
        "title": system.title,
        "about": system.about,
        "faults": system.faults,
    }


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


def _sayable(knowledge: "Knowledge", system: "System", findings: Iterable[str]) -> "Json":
    """Return what can be said of a system, for JSON."""
    return {
        "layout": [
            {"id": layout, "title": knowledge.layouts[layout].title, "values": list(values)}
            for layout, values in system.layout.items()
        ],
        "circumstances": [
            {"id": each, "title": knowledge.circumstances[each].title}
            for each in system.circumstances
        ],
        "findings": [
            {
                "id": each,
                "title": knowledge.findings[each].title,
                "answers": list(knowledge.findings[each].all_answers),
                "found_cause": knowledge.findings[each].found_cause or None,
            }
            for each in sorted(findings)
        ],
        "readings": [
            {
                "id": each.id,
                "title": each.title,
                "takes": each.takes,
                "required": list(each.required),
                "findings": list(each.findings),
                "note": each.note,
            }
            for each in knowledge.readings.values()
            if set(each.findings) <= set(findings)
        ],
    }


def _text(screen: "Screen", systems: Iterable["System"]) -> list[str]:
    lines: list[str] = []
    for system in systems:
        lines += ["", screen.bold(system.id), *screen.wrap(system.title, 2)]
        lines += map(screen.dim, screen.wrap(system.about, 2))
    return lines[1:]


def _details(screen: "Screen", system: "System", said: "Json") -> list[str]:
    seen = {
        looked: [each for each in said["findings"] if bool(each["found_cause"]) == looked]
        for looked in (False, True)
    }
    sections = (
        ("Layout: -l", said["layout"], lambda each: each["values"]),
        ("Just before: -f", said["circumstances"], lambda _: ["no", "yes"]),
        ("Findings: -f", seen[False], lambda each: each["answers"]),
        ("What a look shows: -f", seen[True], lambda each: each["answers"]),
        ("Readings: -m", said["readings"], lambda each: _parts(each["takes"])),
    )
    lines = [screen.bold(system.id), *screen.wrap(system.title, 2)]
    for heading, entries, values in sections:
        lines += ["", screen.bold(heading)]
        for each in entries:
            lines += screen.wrap(f"{each['id']}: {', '.join(values(each))}", 2)
            lines += map(screen.dim, screen.wrap(each["title"], 4))
    return lines


def _parts(takes: dict[str, str]) -> list[str]:
    return [f"{part} in {unit}" for part, unit in takes.items()]
