"""Completion in the shell, from knowledge that is already in the cache; else silent."""

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

import click

from faultnet.model.finding import Finding
from faultnet.model.knowledge import Knowledge
from faultnet.model.system import System

Complete = Callable[[click.Context, click.Parameter, str], list[Any]]
Names = Callable[[Knowledge, System | None], Iterable[tuple[str, str]]]
"""What can be typed, with what it means."""


def _from(names: Names) -> Complete:
    """Return a completion that offers names starting with what is typed."""

    def complete(ctx: click.Context, _: click.Parameter, incomplete: str) -> list[Any]:
        from click.shell_completion import CompletionItem

        kept = _kept(ctx.params.get("folder"))
        if kept is None:
            return []
        system = _system(kept, ctx)
        return [
            CompletionItem(name, help=about)
            for name, about in names(kept, system)
            if name.startswith(incomplete)
        ]

    return complete


def _kept(folder: Path | None) -> Knowledge | None:
    """Return the knowledge of a folder if the cache holds it; nothing is built."""
    from faultnet.authoring.files import knowledge_files, shown_name
    from faultnet.authoring.shipped import shipped_folder
    from faultnet.authoring.store import cached
    from faultnet.authoring.version import version_of

    class NotKeptError(Exception):
        """The cache does not hold it."""

    def not_kept() -> Knowledge:
        raise NotKeptError

    try:
        where = folder or shipped_folder()
        key = f"{shown_name(where)}\0{version_of(knowledge_files(where)[0])}"
        return cached("knowledge", key, Knowledge, not_kept)
    except (NotKeptError, OSError):
        return None


def _system(knowledge: Knowledge, ctx: click.Context) -> System | None:
    """Return the system of the line, also where an option still lacks its value."""
    typed = [ctx.params.get("system"), *ctx.args]
    return next((knowledge.systems[name] for name in typed if name in knowledge.systems), None)


def _in(system: System | None, part: str) -> bool:
    return system is None or part in system.parts


def _findings(knowledge: Knowledge, system: System | None) -> list[Finding]:
    return [f for f in knowledge.findings.values() if _in(system, f.part)]


def _systems(knowledge: Knowledge, _: System | None) -> Iterable[tuple[str, str]]:
    return ((s.id, s.title) for s in knowledge.systems.values())


def _answers(knowledge: Knowledge, system: System | None) -> Iterable[tuple[str, str]]:
    for finding in _findings(knowledge, system):
        for answer in dict.fromkeys((*finding.all_answers, "yes", "no")):
            yield f"{finding.id}={answer}", finding.title
    for circumstance in knowledge.circumstances.values():
        for answer in ("yes", "no"):
            yield f"{circumstance.id}={answer}", circumstance.title


def _layouts(knowledge: Knowledge, system: System | None) -> Iterable[tuple[str, str]]:
    for layout in knowledge.layouts.values():
        possible = system.layout.get(layout.id, {}) if system else {v.id for v in layout.values}
        for value in layout.values:
            if value.id in possible:
                yield f"{layout.id}={value.id}", value.title


def _readings(knowledge: Knowledge, system: System | None) -> Iterable[tuple[str, str]]:
    for reading in knowledge.readings.values():
        if _in(system, reading.part):
            for part, unit in reading.takes.items():
                yield f"{reading.id}.{part}=", f"{reading.title} ({unit})"


def _repairs(knowledge: Knowledge, system: System | None) -> Iterable[tuple[str, str]]:
    return ((r.id, r.title) for r in knowledge.repairs.values() if _in(system, r.part))


def _set_ups(knowledge: Knowledge, system: System | None) -> Iterable[tuple[str, str]]:
    return ((s.id, s.title) for s in knowledge.set_ups.values() if _in(system, s.part))


def _causes(knowledge: Knowledge, system: System | None) -> Iterable[tuple[str, str]]:
    return ((c.id, c.title) for c in knowledge.causes.values() if _in(system, c.part))


def _dangers(knowledge: Knowledge, system: System | None) -> Iterable[tuple[str, str]]:
    return ((f.id, f.title) for f in _findings(knowledge, system) if f.dangers)


systems = _from(_systems)
answers = _from(_answers)
layouts = _from(_layouts)
readings = _from(_readings)
repairs = _from(_repairs)
set_ups = _from(_set_ups)
causes = _from(_causes)
dangers = _from(_dangers)
