"""What the browser needs is found by following imports: nothing missing, nothing heavy."""

import subprocess
import sys
from pathlib import Path

import msgspec
import pytest

from faultnet.pocket.making.needed import AT_HAND, HOUSE, imports, needed
from faultnet.pocket.making.rooms import rooms
from faultnet.pocket.making.trouble import MakingError

HEAVY = {"sqlalchemy", "yaml", "pgmpy", "platformdirs", "fpdf", "fontTools", "rich", "click"}

ALONE = """
import importlib, sys
sys.path.insert(0, sys.argv[1])
for name in sys.argv[2:]:
    importlib.import_module(name)
import faultnet, numpy
from faultnet.pocket.talk.started import started
assert faultnet.__file__.startswith(sys.argv[1]), faultnet.__file__
assert numpy.__spec__.loader is None, numpy
packages = {name.partition(".")[0] for name in sys.modules}
print(sorted(packages - sys.stdlib_module_names - {"__main__"}))
"""


@pytest.fixture(scope="module")
def alone(tmp_path_factory):
    """Run Python with the archive and msgspec, and with nothing else that is installed."""
    folder = tmp_path_factory.mktemp("rooms")
    archive = folder / "rooms.zip"
    archive.write_bytes(rooms())
    (folder / "msgspec").symlink_to(Path(msgspec.__file__).parent)

    def run(source, *arguments):
        with_msgspec = f"import sys; sys.path.append({str(folder)!r})\n{source}"
        done = subprocess.run(
            [sys.executable, "-I", "-S", "-c", with_msgspec, archive, *arguments],
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    return run


def test_each_module_can_be_imported_out_of_the_archive_alone(alone):
    assert alone(ALONE, *needed()).strip() == "['faultnet', 'msgspec', 'numpy']"


def test_nothing_heavy_is_on_the_way():
    packages = {each.partition(".")[0] for name in needed() for each in imports(name).top}
    assert packages <= AT_HAND | {HOUSE.name}
    assert not packages & HEAVY


def test_what_reads_yaml_and_keeps_in_a_database_stays_on_the_desk():
    names = needed()
    assert not [name for name in names if name.startswith("faultnet.authoring.forms")]
    assert not [name for name in names if name.startswith("faultnet.cases.store")]
    assert not [name for name in names if name.split(".")[1:2] in (["cli"], ["web"], ["learning"])]


def test_what_a_function_imports_is_needed_too():
    later = "faultnet.authoring.nearest"
    assert later in imports("faultnet.advice.subject").later
    assert later in needed()


def test_what_cannot_be_had_is_told_with_its_module():
    with pytest.raises(MakingError, match=r"faultnet\.authoring\.parse: imports yaml") as told:
        needed(("faultnet.authoring.parse",))
    assert "function" in told.value.mend


def test_types_alone_are_not_needed():
    found = imports("faultnet.cli.options")
    assert not any(name.startswith("faultnet.sharing") for name in found.top)


def test_the_same_sources_make_the_same_archive():
    assert rooms() == rooms()
