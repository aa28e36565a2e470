"""The house: a room imports only from floors below its own, and pgmpy has a room apart."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

HOUSE = Path(__file__).parents[1] / "faultnet"
FLOORS = (
    {"model", "reckon", "writing", "sharing"},
    {"authoring", "network"},
    {"inference", "planning"},
    {"advice", "cases"},
    {"visit", "accounts", "review"},
    {"learning"},
    {"desk", "report", "drawing", "handbook"},
    {"shapes"},
    {"pocket"},
    {"web"},
    {"cli"},
)
FLOOR = {room: number for number, rooms in enumerate(FLOORS) for room in rooms}
ROOMS = sorted(path.name for path in HOUSE.iterdir() if (path / "__init__.py").is_file())
MODULES = sorted(HOUSE.rglob("*.py"))
LONGEST = 400
WITH_PGMPY = {"network/pgmpy_model.py", "network/record.py"}
"""Modules that name pgmpy; nothing on the way to an answer imports them."""


def name_of(path):
    """Return the dotted name of a module."""
    parts = path.relative_to(HOUSE.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imported(source):
    """Return the dotted names that a source imports, wherever in it they stand."""
    names = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are written in full"
            names |= {f"{node.module}.{alias.name}" for alias in node.names}
    return names


def too_high(room, source):
    """Return the rooms that a room may not import, but does."""
    rooms = {name.split(".")[1] for name in imported(source) if name.startswith("faultnet.")}
    others = (rooms & FLOOR.keys()) - {room}
    return {other for other in others if FLOOR[other] >= FLOOR[room]}


def modules_about(package):
    """Return the modules that import a package."""
    return {
        path.relative_to(HOUSE).as_posix()
        for path in MODULES
        if any(name.split(".")[0] == package for name in imported(path.read_text("utf-8")))
    }


def test_every_room_stands_on_a_floor():
    assert set(ROOMS) <= FLOOR.keys()


@pytest.mark.parametrize("room", ROOMS)
def test_a_room_imports_from_floors_below(room):
    wrong = {
        name_of(path): found
        for path in sorted((HOUSE / room).rglob("*.py"))
        if (found := too_high(room, path.read_text("utf-8")))
    }
    assert not wrong


@pytest.mark.parametrize(
    ("room", "line", "found"),
    [
        ("inference", "from faultnet.advice.works import Works", {"advice"}),
        ("inference", "def f():\n    import faultnet.cli.main", {"cli"}),
        ("network", "from faultnet.authoring import store", {"authoring"}),
        ("advice", "from faultnet.inference.query import Query", set()),
        ("cli", "from faultnet import __version__", set()),
    ],
)
def test_the_rule_finds_what_it_should(room, line, found):
    assert too_high(room, line) == found


def test_pgmpy_has_a_place_of_its_own():
    assert modules_about("pgmpy") == WITH_PGMPY


def test_nothing_but_the_record_imports_what_imports_pgmpy():
    names = {f"faultnet.{module.removesuffix('.py').replace('/', '.')}" for module in WITH_PGMPY}
    reached = {
        path.relative_to(HOUSE).as_posix()
        for path in MODULES
        for name in imported(path.read_text("utf-8"))
        if name in names or name.rpartition(".")[0] in names
    }
    assert reached <= {"network/record.py"}


IMPORTS_ALL = """
import importlib, sys
for name in sys.argv[1:]:
    importlib.import_module(name)
print(sorted({"pgmpy", "pandas", "sklearn"} & sys.modules.keys()))
"""


def test_every_module_can_be_imported_without_pgmpy():
    names = [name_of(path) for path in MODULES if path.name != "__main__.py"]
    wanted = [name for name in names if name != "faultnet.network.pgmpy_model"]
    done = subprocess.run(
        [sys.executable, "-c", IMPORTS_ALL, *wanted],
        capture_output=True,
        text=True,
        cwd=HOUSE.parent,
        check=False,
    )
    assert (done.stdout.strip(), done.returncode) == ("[]", 0), done.stderr


@pytest.mark.parametrize("path", MODULES, ids=name_of)
def test_a_module_fits_on_a_few_screens(path):
    assert len(path.read_text("utf-8").splitlines()) <= LONGEST
