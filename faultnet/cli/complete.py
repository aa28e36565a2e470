"""Completion in the shell, from knowledge that is already in the cache; else silent."""

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from faultnet.model.finding import Finding
from faultnet.model.knowledge import Knowledge
from faultnet.model.system import System

if TYPE_CHECKING:
    from faultnet.network.tables import Tables

Complete = Callable[[click.Context, click.Parameter, str], list[Any]]
Names = Callable[[Knowledge, System | None], Iterable[tuple[str, str]]]
"""What can be typed, with what it means."""


def _from(names: Names) -> Complete:
    """Return a completion that offers names starting with what is typed."""

    def complete(ctx: click.Context, _: click.Parameter, incomplete: str) -> list[Any]:
        kept = _kept(ctx.params.get("folder"))
        if kept is None:
            return []
        return _offered(names(kept, _system(kept, ctx)), incomplete)

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


def _parts(knowledge: Knowledge, system: System | None) -> Iterable[tuple[str, str]]:
    return ((p.id, p.title) for p in knowledge.parts.values() if _in(system, p.id))


def _regions(knowledge: Knowledge, _: System | None) -> Iterable[tuple[str, str]]:
    return ((r.id, r.title) for r in knowledge.regions.values())


def _dangers(knowledge: Knowledge, system: System | None) -> Iterable[tuple[str, str]]:
    return ((f.id, f.title) for f in _findings(knowledge, system) if f.dangers)


def _or_network(
    names: Complete, of_network: "Callable[[Tables], Iterable[tuple[str, str]]]"
) -> Complete:
    """Return a completion that offers what an imported network has, where one is named."""

    def complete(ctx: click.Context, param: click.Parameter, incomplete: str) -> list[Any]:
        tables = _imported(ctx)
        if tables is None:
            return names(ctx, param, incomplete)
        return _offered(of_network(tables), incomplete)

    return complete


def _imported(ctx: click.Context) -> "Tables | None":
    """Return the imported network of the line, or None."""
    from faultnet.cli.imported import kept_names, kept_path

    typed = [ctx.params.get("system"), *ctx.args]
    kept = kept_names()
    name = next((each for each in typed if each in kept), None)
    if name is None:
        return None
    from faultnet.network.flaw import NetworkFileError
    from faultnet.network.read import read_network

    try:
        return read_network(kept_path(name))
    except NetworkFileError:
        return None


def _offered(names: Iterable[tuple[str, str]], incomplete: str) -> list[Any]:
    from click.shell_completion import CompletionItem

    return [
        CompletionItem(name, help=about) for name, about in names if name.startswith(incomplete)
    ]


def codes(_: click.Context, __: click.Parameter, incomplete: str) -> list[Any]:
    """Return the codes of problems that start with what is typed."""
    from faultnet.authoring.code import CODES

    return _offered(((code, "") for code in CODES), incomplete)


def _nothing(_: click.Context, __: click.Parameter, ___: str) -> list[Any]:
    return []


def _and_kept(names: Complete) -> Complete:
    """Return a completion that offers the imported networks too."""

    def complete(ctx: click.Context, param: click.Parameter, incomplete: str) -> list[Any]:
        from faultnet.cli.imported import kept_names

        kept = _offered(((name, "imported") for name in kept_names()), incomplete)
        return [*names(ctx, param, incomplete), *kept]

    return complete


def _pairs(tables: "Tables") -> Iterable[tuple[str, str]]:
    return ((f"{v.id}={state}", v.id) for v in tables.variables for state in v.states)


def _variables(tables: "Tables") -> Iterable[tuple[str, str]]:
    return ((v.id, ", ".join(v.states)) for v in tables.variables)


def _costs(tables: "Tables") -> Iterable[tuple[str, str]]:
    return ((f"{v.id}=", "a number above zero") for v in tables.variables)


systems = _and_kept(_from(_systems))
answers = _or_network(_from(_answers), _pairs)
targets = _or_network(_nothing, _pairs)
variables = _or_network(_nothing, _variables)
costs = _or_network(_nothing, _costs)
layouts = _from(_layouts)
readings = _from(_readings)
repairs = _from(_repairs)
set_ups = _from(_set_ups)
causes = _from(_causes)
parts = _from(_parts)
regions = _from(_regions)
dangers = _from(_dangers)
