"""A version of the knowledge: a folder as it lies there, or a revision of it that git keeps."""

import os
import shutil
import subprocess
import tarfile
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path

import msgspec


class NoVersionError(Exception):
    """There is no such version, with the reason and the mend."""

    def __init__(self, message: str, hint: str) -> None:
        """Keep the hint beside the message."""
        self.hint = hint
        super().__init__(message)


class Version(msgspec.Struct, frozen=True):
    """What a version is called, and the folder that holds its files."""

    name: str
    folder: Path


@contextmanager
def opened(named: str, home: Path | None) -> Iterator[Version]:
    """Give the version of a name: a folder, or else a revision of the folder ``home``.

    A folder of the name goes first; ``./NAME`` is always a folder. Raises
    ``NoVersionError``. What is taken out of git is removed again afterwards.
    """
    folder = Path(named)
    if folder.is_dir():
        yield Version(named, folder)
        return
    if home is None:
        raise NoVersionError(
            f"There is no folder `{named}`.",
            "For a revision of git, let the other side be a folder, or name one with --home.",
        )
    name = _commit(named, home)
    with tempfile.TemporaryDirectory(prefix="faultnet-") as made:
        place = Path(made) / home.resolve().name
        _unpack(named, name, home, place)
        yield Version(f"{named} ({name[:10]})", place)


def _commit(named: str, home: Path) -> str:
    """Return the commit that a revision means."""
    asked = ["rev-parse", "--verify", "--quiet", "--end-of-options", f"{named}^{{commit}}"]
    found = _git(home, *asked)
    if found.returncode == 0:
        return found.stdout.decode("ascii", "replace").strip()
    inside = _git(home, "rev-parse", "--is-shallow-repository")
    if b"dubious ownership" in inside.stderr:
        raise NoVersionError(
            f"git does not read `{home}`: it belongs to somebody else.",
            "Copy it, or name it in git's setting safe.directory.",
        )
    if inside.returncode != 0:
        raise NoVersionError(
            f"`{named}` is no folder, and `{home}` is not kept by git: it has no revisions.",
            "Give two folders, or a folder below a git repository.",
        )
    told = f"`{named}` is neither a folder nor a revision that git knows in `{home}`."
    if inside.stdout.strip() == b"true":
        mend = "This copy holds only the newest revisions: fetch the others first with"
        raise NoVersionError(told, f"{mend} `git fetch --unshallow`.")
    raise NoVersionError(told, "`git log --oneline` lists revisions; HEAD~1 is the last but one.")


def _unpack(named: str, commit: str, home: Path, place: Path) -> None:
    """Write the files that the folder had at a commit."""
    packed = _git(home, "archive", "--format=tar", commit, ".")
    if packed.returncode != 0:
        raise NoVersionError(
            f"At `{named}` there is no folder `{home}` in git.",
            "Was it named otherwise then? Take that revision out into a folder of its own.",
        )
    place.mkdir()
    try:
        with tarfile.open(fileobj=BytesIO(packed.stdout)) as archive:
            for member in archive:
                _write(archive, member, place)
    except (tarfile.TarError, OSError) as error:
        raise NoVersionError(
            f"The files of `{named}` cannot be written out: {error}.",
            "Take that revision out into a folder of its own, and name the folder.",
        ) from error


def _write(archive: tarfile.TarFile, member: tarfile.TarInfo, place: Path) -> None:
    """Write an ordinary file below a place; anything else is left."""
    path = place / member.name
    packed = archive.extractfile(member) if member.isfile() else None
    if packed is not None and place.resolve() in path.resolve().parents:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(packed.read())


def _git(home: Path, *asked: str) -> subprocess.CompletedProcess[bytes]:
    """Ask git about a folder; what stands in the environment does not lead it elsewhere."""
    git = shutil.which("git")
    if git is None:
        raise NoVersionError(
            "Revisions are kept by git, and there is no git here.",
            "Install it, or give two folders.",
        )
    plain = {k: v for k, v in os.environ.items() if not k.startswith("GIT_")}
    # No shell reads this. Callers give fixed words; the one that a person chose, a revision, stands
    # behind --end-of-options, where git takes nothing for an option.
    return subprocess.run(  # noqa: S603 -- no shell; what a person chose can be no option
        [git, "-C", str(home), *asked],
        capture_output=True,
        check=False,
        env={**plain, "LC_ALL": "C", "GIT_OPTIONAL_LOCKS": "0", "GIT_TERMINAL_PROMPT": "0"},
    )
