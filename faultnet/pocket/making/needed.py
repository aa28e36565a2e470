"""Which modules the browser needs: found by following imports, from where it begins.

What stands at the top of a module is needed at once. What a function imports is needed when it is
called; where that asks for a package that the browser has not, it is left out: it is about files
and folders, and nothing that the browser asks for leads there.
"""

import ast
import sys
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import NamedTuple

from faultnet.pocket.making.trouble import MakingError

HOUSE = Path(__file__).parents[2]
"""The package."""

ENTRY = (
    "faultnet.pocket.talk.started",
    "faultnet.pocket.talk.compiled",
    "faultnet.pocket.arrays.standing",
)
"""Where the browser begins: what answers, and the arrays that stand for NumPy's."""

AT_HAND = frozenset({"msgspec", "numpy"}) | sys.stdlib_module_names
"""Packages that the browser has besides ours; ``numpy`` is the room of arrays."""


class Imports(NamedTuple):
    """What a module imports, by dotted names: at its top, and inside functions."""

    top: frozenset[str]
    later: frozenset[str]


def needed(entry: Iterable[str] = ENTRY) -> dict[str, Path]:
    """Return the files of the modules that are needed, by name.

    Raises ``MakingError`` where one needs at its top what the browser has not.
    """
    found = _at_once(entry)
    for name in sorted(found):
        if foreign := _foreign(name):
            told = f"imports {', '.join(sorted(foreign))}, which a browser has not"
            raise MakingError(name, told, "Import it inside the function that needs it.")
    waiting = sorted(found)
    while waiting:
        for later in sorted(imports(waiting.pop()).later):
            more = _at_once([later]) - found if _is_ours(later) else frozenset[str]()
            if not any(map(_foreign, more)):
                found |= more
                waiting.extend(sorted(more))
    return {name: file for name in sorted(found) if (file := _file(name))}


@cache
def imports(name: str) -> Imports:
    """Return what a module of ours imports; types alone do not count."""
    file = _file(name)
    top, later = set[str](), set[str]()
    if file is not None:
        for node, is_later in _statements(ast.parse(file.read_bytes()), is_later=False):
            (later if is_later else top).update(_named(node))
    return Imports(frozenset(top), frozenset(later))


def _statements(tree: ast.AST, *, is_later: bool) -> Iterator[tuple[ast.AST, bool]]:
    """Yield each part of a module, with whether it runs only when a function is called."""
    for node in ast.iter_child_nodes(tree):
        inside = is_later or isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        yield node, inside
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test):
            continue
        yield from _statements(node, is_later=inside)


def _named(node: ast.AST) -> Iterator[str]:
    if isinstance(node, ast.Import):
        yield from (alias.name for alias in node.names)
    elif isinstance(node, ast.ImportFrom) and node.module:
        inside = [f"{node.module}.{alias.name}" for alias in node.names]
        yield from (node.module, *(name for name in inside if _is_ours(name) and _file(name)))


def _at_once(names: Iterable[str]) -> frozenset[str]:
    """Return modules of ours with all that they import at the top, and the rooms around them."""
    found, waiting = set[str](), list(names)
    while waiting:
        name = waiting.pop()
        if name not in found and _file(name):
            found.add(name)
            waiting.append(name.rpartition(".")[0])
            waiting.extend(filter(_is_ours, imports(name).top))
    return frozenset(found)


def _foreign(name: str) -> set[str]:
    """Return the packages that a module imports at its top and a browser has not."""
    packages = {each.partition(".")[0] for each in imports(name).top}
    return packages - AT_HAND - {HOUSE.name}


def _is_ours(name: str) -> bool:
    return name.partition(".")[0] == HOUSE.name


@cache
def _file(name: str) -> Path | None:
    """Return the file of a module of ours; None for what is no module."""
    if not _is_ours(name):
        return None
    path = HOUSE.parent.joinpath(*name.split("."))
    return next((p for p in (path.with_suffix(".py"), path / "__init__.py") if p.is_file()), None)
