"""Networks that were imported: where they lie, and what is asked about them."""

import re
from collections.abc import Iterable, Sequence
from math import isfinite
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from faultnet.advice.imported import Fault, Question
    from faultnet.cli.asked import Asked
    from faultnet.network.tables import Tables

SUFFIX = ".xmlbif"
"""The format that networks are kept in: it can carry any name."""
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,62}", re.ASCII)


def folder() -> Path:
    """Return where imported networks lie."""
    from faultnet.cli.places import data_folder

    return data_folder() / "networks"


def kept_names() -> list[str]:
    """Return the names of the networks that are kept."""
    return sorted(path.name.removesuffix(SUFFIX) for path in folder().glob(f"[!.]*{SUFFIX}"))


def kept_path(name: str) -> Path:
    """Return where a network of a name is kept; raise ``click.UsageError`` for no name."""
    if not _NAME.fullmatch(name):
        raise click.UsageError(
            f"`{name[:60]}` cannot be a name. Give one of letters, digits, `-`, `_` and `.` "
            f"with --name."
        )
    return folder() / f"{name}{SUFFIX}"


def found(asked: "Asked") -> Path | None:
    """Return the file of a network that is asked about; None for an authored system.

    A system of the knowledge goes before a network of the same name.
    """
    if asked.folder is not None:
        return None
    kept = folder() / f"{asked.system}{SUFFIX}"
    if _NAME.fullmatch(asked.system) and kept.is_file():
        return None if asked.system in _systems() else kept
    if "." in asked.system and Path(asked.system).suffix and Path(asked.system).is_file():
        return Path(asked.system)
    return None


def keep(tables: "Tables", name: str, *, replace: bool) -> Path:
    """Keep a network under a name; never over a system, over another only to replace it."""
    from faultnet.network.write import write_network

    where = kept_path(name)
    if name.casefold() in {system.casefold() for system in _systems()}:
        raise click.UsageError(f"`{name}` is a system of the knowledge. Give another --name.")
    taken = [other for other in kept_names() if other.casefold() == name.casefold()]
    if taken and not replace:
        raise click.UsageError(
            f"A network `{taken[0]}` is kept already. Give another --name, or --replace it."
        )
    try:
        where.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise click.ClickException(
            f"{where.parent} cannot be made: {error.strerror}. See faultnet where"
        ) from error
    write_network(tables, where)
    return where


def question(asked: "Asked", path: Path) -> "tuple[Question, list[str]]":
    """Return what is asked about a network, and what was assumed.

    Raises ``NetworkFileError``, ``UnknownNameError`` and ``click.UsageError``.
    """
    from faultnet.advice.imported import Question
    from faultnet.network.read import read_network

    _only_what_fits(asked)
    tables = read_network(path)
    evidence = _evidence(tables, asked.answers)
    assumed: list[str] = []
    faults = _faults(tables, asked.targets, assumed)
    candidates = _candidates(tables, asked.candidates, evidence, faults, assumed)
    priced = [*candidates, *(fault.id for fault in faults)]
    costs = _costs(asked.costs, priced, tables)
    if len(costs) < len(set(priced)):
        assumed.append(f"Where no --cost is given, it is 1: {len(set(priced)) - len(costs)}.")
    return Question(tables, evidence, faults, tuple(candidates), costs), assumed


def refuse_options(asked: "Asked") -> None:
    """Raise ``click.UsageError`` for options that only an imported network takes."""
    given = {"--target": asked.targets, "--candidate": asked.candidates, "--cost": asked.costs}
    for option, values in given.items():
        if values:
            raise click.UsageError(
                f"{option} is for imported networks, and `{asked.system}` is none. "
                f"faultnet systems lists them."
            )


def _only_what_fits(asked: "Asked") -> None:
    given = {
        "-l": asked.layout,
        "-m": asked.measured,
        "--mended": asked.mended,
        "--made-safe": asked.made_safe,
        "--set-up": asked.set_ups,
        "--by": asked.speaker != "technician",
    }
    for option, value in given.items():
        if value:
            raise click.UsageError(
                f"{option} is for authored systems; of an imported network say what was "
                f"seen with -f VARIABLE=STATE."
            )


def _systems() -> Iterable[str]:
    from faultnet.authoring.shipped import shipped_folder
    from faultnet.authoring.store import load

    return load(shipped_folder()).systems


def _evidence(tables: "Tables", texts: Sequence[str]) -> dict[str, str]:
    evidence: dict[str, str] = {}
    for text in texts:
        name, state = _pair(tables, text, "VARIABLE=STATE")
        if evidence.setdefault(name, state) != state:
            raise click.UsageError(
                f"`{name}` is given twice, as `{evidence[name]}` and as `{state}`. Leave one out."
            )
    return evidence


def _faults(tables: "Tables", texts: Sequence[str], assumed: list[str]) -> "tuple[Fault, ...]":
    from faultnet.advice.imported import Fault

    states = {variable.id: variable.states for variable in tables.variables}
    chosen: dict[str, tuple[str, ...]] = {}
    for text in texts:
        if text in states:
            chosen[text] = states[text][1:]
            continue
        name, state = _pair(tables, text, "VARIABLE or VARIABLE=STATE")
        chosen[name] = (*(s for s in chosen.get(name, ()) if s != state), state)
    if not texts:
        chosen = {v.id: v.states[1:] for v in tables.variables if not v.parents}
        assumed.append(
            f"What may be at fault: the {len(chosen)} variables without parents. "
            f"Others with --target."
        )
    if not texts or any(text in states for text in texts):
        assumed.append("Every state but a variable's first is a fault; else --target VAR=STATE.")
    for name, fault_states in chosen.items():
        if not fault_states or set(fault_states) == set(states[name]):
            raise click.UsageError(
                f"`{name}` needs a state that is a fault and one that is none; "
                f"it has {', '.join(states[name])}. Leave it out with --target."
            )
    return tuple(Fault(name, fault_states) for name, fault_states in chosen.items())


def _candidates(
    tables: "Tables",
    names: Sequence[str],
    evidence: dict[str, str],
    faults: "Sequence[Fault]",
    assumed: list[str],
) -> list[str]:
    known = [variable.id for variable in tables.variables]
    for name in names:
        _known("variable", name, known)
        if name in evidence:
            raise click.UsageError(f"`{name}` is known already: it cannot be looked at anew.")
    if names:
        return list(dict.fromkeys(names))
    rest = [v for v in known if v not in evidence and v not in {fault.id for fault in faults}]
    assumed.append(f"What can be looked at: the {len(rest)} others. Fewer with --candidate.")
    return rest


def _costs(texts: Sequence[str], priced: Sequence[str], tables: "Tables") -> dict[str, float]:
    costs: dict[str, float] = {}
    for text in texts:
        name, mark, number = text.rpartition("=")
        if not mark:
            raise click.UsageError(f"`{text[:60]}` is not understood. Write VARIABLE=NUMBER.")
        _known("variable", name, [variable.id for variable in tables.variables])
        if name not in priced:
            raise click.UsageError(
                f"`{name}` has a cost and is neither looked at nor mended. Leave the cost out, "
                f"or name it with --candidate or --target."
            )
        cost = _cost(text, number)
        if costs.setdefault(name, cost) != cost:
            raise click.UsageError(f"`{name}` has two costs, {costs[name]:g} and {cost:g}.")
    return costs


def _cost(text: str, number: str) -> float:
    try:
        cost = float(number)
    except ValueError:
        cost = float("nan")
    if isfinite(cost) and cost > 0.0:
        return cost
    why = "is no number"
    if cost == 0.0:
        why = "is zero; then everything would be looked at first"
    elif cost < 0.0:
        why = "is below zero"
    elif cost > 0.0:
        why = "is without end"
    raise click.UsageError(f"`{text[:60]}`: the cost {why}. Give a number above zero.")


def _pair(tables: "Tables", text: str, form: str) -> tuple[str, str]:
    """Take ``variable=state`` apart; either may have an equals sign in it."""
    states = {variable.id: variable.states for variable in tables.variables}
    places = [place for place, sign in enumerate(text) if sign == "="]
    if not places:
        raise click.UsageError(f"`{text[:60]}` is not understood. Write {form}.")
    for place in places:
        name, state = text[:place], text[place + 1 :]
        if state in states.get(name, ()):
            return name, state
    name, state = text[: places[0]], text[places[0] + 1 :]
    _known("variable", name, list(states))
    _known(f"state of {name}", state, list(states[name]))
    raise AssertionError(text)


def _known(kind: str, name: str, known: list[str]) -> None:
    if name not in known:
        from faultnet.advice.subject import UnknownNameError

        raise UnknownNameError(kind, name, known)
