"""The files of a knowledge folder, read without trusting what lies there."""

import errno
import os
import stat
from collections.abc import Iterator
from pathlib import Path

import msgspec

from faultnet.authoring.problem import Problem, problem
from faultnet.model.origin import Origin

LARGEST = 2_000_000
"""Bytes; a larger file is refused."""
CASES = ".cases.yaml"
_DEEPEST = 20


class File(msgspec.Struct, frozen=True):
    """A file's path below the folder, the path shown to people, and its bytes."""

    name: str
    shown: str
    data: bytes


def knowledge_files(folder: Path) -> tuple[tuple[File, ...], tuple[Problem, ...]]:
    """Return the files that hold knowledge, by path; cases are left out."""
    return _read(folder, cases=False)


def case_files(folder: Path) -> tuple[tuple[File, ...], tuple[Problem, ...]]:
    """Return the files that hold cases, by path."""
    return _read(folder, cases=True)


def one_file(path: Path) -> File | Problem:
    """Return a file that stands by itself, or why it cannot be read."""
    shown = _printable(path.name)
    data = _bytes(path, shown)
    return data if isinstance(data, Problem) else File(shown, shown, data)


def shown_name(folder: Path) -> str:
    """Return the name under which problems show a folder."""
    return _printable(folder.resolve().name if folder.name in ("", "..") else folder.name)


def _read(folder: Path, *, cases: bool) -> tuple[tuple[File, ...], tuple[Problem, ...]]:
    files: list[File] = []
    problems: list[Problem] = []
    shown_folder = shown_name(folder)
    if not _is_folder(folder):
        return (), (_unreadable(shown_folder, "There is no folder of this name."),)
    for found in _walk(folder, ""):
        shown = f"{shown_folder}/{_printable(found)}"
        if found.endswith(CASES) != cases:
            continue
        data = _bytes(folder / found, shown)
        if isinstance(data, Problem):
            problems.append(data)
        else:
            files.append(File(_printable(found), shown, data))
    return tuple(files), tuple(problems)


def _walk(top: Path, below: str, above: tuple[str, ...] = ()) -> Iterator[str]:
    """Yield the paths of YAML names, sorted; a folder inside itself is yielded as it is."""
    try:
        names = sorted(path.name for path in (top / below).iterdir())
    except OSError:
        yield below
        return
    here = (*above, os.path.realpath(top / below))
    for name in names:
        if name.startswith("."):
            continue
        path = f"{below}/{name}" if below else name
        if name.lower().endswith((".yaml", ".yml")):
            yield path
        elif _is_folder(top / path):
            again = os.path.realpath(top / path) in here or len(here) > _DEEPEST
            yield from [path] if again else _walk(top, path, here)


def _is_folder(path: Path) -> bool:
    try:
        return path.is_dir()
    except OSError:
        return False


def _bytes(path: Path, shown: str) -> bytes | Problem:
    try:
        found = path.stat()
        if stat.S_ISDIR(found.st_mode):
            return _folder(path, shown)
        if not stat.S_ISREG(found.st_mode):
            return _unreadable(shown, "This is not an ordinary file.")
        if found.st_size > LARGEST:
            return _too_large(shown)
        with path.open("rb") as stream:
            data = stream.read(LARGEST + 1)
    except OSError as error:
        return _os_problem(path, shown, error)
    return _too_large(shown) if len(data) > LARGEST else data


def _folder(path: Path, shown: str) -> Problem:
    if path.name.lower().endswith((".yaml", ".yml")):
        return _unreadable(shown, "This is a folder with the name of a file.")
    try:
        any(path.iterdir())
    except OSError as error:
        return _os_problem(path, shown, error)
    return _link_loop(shown)


def _os_problem(path: Path, shown: str, error: OSError) -> Problem:
    if error.errno == errno.ELOOP:
        return _link_loop(shown)
    if isinstance(error, FileNotFoundError) and path.is_symlink():
        return _unreadable(shown, "This link points to nothing.")
    return _unreadable(shown, f"It cannot be read: {error.strerror or 'unknown reason'}.")


def _link_loop(shown: str) -> Problem:
    return problem(
        "link-loop", Origin(shown, 0, 0), "This link leads back to itself.", "Remove the link."
    )


def _unreadable(shown: str, message: str) -> Problem:
    hint = "Put a readable file here, or remove the entry."
    return problem("unreadable", Origin(shown, 0, 0), message, hint)


def _too_large(shown: str) -> Problem:
    message = f"The file is larger than {LARGEST // 1_000_000} megabytes."
    return problem("too-large", Origin(shown, 0, 0), message, "Split it into several parts.")


def _printable(name: str) -> str:
    text = os.fsencode(name).decode("utf-8", "replace").replace(os.sep, "/")
    return "".join(
        letter if letter.isprintable() and letter != "\ufffd" else "?" for letter in text
    )
