"""`handbook`: all that is known, to read and to print."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli import complete, options
from faultnet.cli.output import CannotWriteError, leave_alone, show, show_json, write_file

if TYPE_CHECKING:
    from faultnet.model.cause import Cause
    from faultnet.model.knowledge import Knowledge
    from faultnet.model.system import System
    from faultnet.writing.document import Document, Picture

EXAMPLES = """\b
Examples:
  faultnet handbook --out handbook.html
  faultnet handbook --system jet-pump-cistern --out cistern.md
  faultnet handbook my-knowledge --out handbook --format md
"""

SUFFIXES = {".html": "html", ".htm": "html", ".md": "md"}


@dataclass(frozen=True)
class Wanted:
    """What the book is about, and where and how it is written."""

    system: str | None
    out: Path
    form: str | None
    pictures: bool
    replace: bool


_WANTED = (
    click.option(
        "--system",
        metavar="SYSTEM",
        shell_complete=complete.systems,
        help="Only what this system has.",
    ),
    click.option(
        "-o",
        "--out",
        required=True,
        type=click.Path(path_type=Path),
        metavar="FILE|FOLDER",
        help="A file ending in .html or .md, or a folder that gets a file for each chapter.",
    ),
    click.option(
        "--format",
        "form",
        type=click.Choice(["html", "md"]),
        help="By the suffix of FILE where it is not said; html for a folder.",
    ),
    click.option(
        "--pictures/--no-pictures",
        default=True,
        help="Draw what is around each cause; one file of Markdown has none.",
    ),
    options.replace,
)


def _wanted(command: Callable[..., int]) -> Callable[..., int]:
    """Add what says which book is wanted; handed on as ``wanted``."""
    return options.gathered(Wanted, "wanted", _WANTED, command)


@click.command("handbook", epilog=EXAMPLES)
@click.argument("folder", type=options.FOLDER, required=False)
@_wanted
@options.as_json
def command(folder: Path | None, wanted: Wanted, as_json: bool) -> int:
    """Write a handbook out of the knowledge of FOLDER, or of what came along.

    Dangers first, then systems, causes with their signs, checks and repairs, findings,
    procedures, where the numbers come from, and an index of signs. HTML needs nothing else:
    no script, no network. --json tells what was written.
    """
    from faultnet.authoring.shipped import shipped_folder
    from faultnet.authoring.store import load

    form, many = _form(wanted)
    known = load(folder or shipped_folder())
    system = _system(known, wanted.system)
    drawn = wanted.pictures and (many or form == "html") and _can_draw()
    files = _files(known, system, form, many=many, drawn=drawn)
    _write(wanted, files, many=many)
    size = sum(map(len, files.values()))
    told = {"out": str(wanted.out), "format": form, "system": wanted.system}
    if as_json:
        counts = {"causes": len(known.causes), "version": known.version}
        show_json({**told, **counts, "files": sorted(files), "bytes": size, "pictures": drawn})
        return 0
    count = f" ({len(files)} files)" if many else ""
    lines = [f"The handbook is written to {wanted.out}{count}, {size / 1e6:.1f} MB."]
    if wanted.pictures and not drawn and (many or form == "html"):
        lines += ["It has no pictures. This brings them:", "  pip install 'faultnet[draw]'"]
    show(lines)
    return 0


def _form(wanted: Wanted) -> tuple[str, bool]:
    """Return the form, and whether it is a folder of files."""
    suffix = wanted.out.suffix.lower()
    if wanted.out.is_dir() or not suffix:
        return wanted.form or "html", True
    form = wanted.form or SUFFIXES.get(suffix)
    if form is None:
        told = f"`{suffix}` is no kind of handbook: .html or .md; a folder has no suffix."
        raise click.UsageError(told)
    return form, False


def _system(known: "Knowledge", name: str | None) -> "System | None":
    if name is None:
        return None
    if name not in known.systems:
        from faultnet.advice.subject import UnknownNameError

        raise UnknownNameError("system", name, list(known.systems))
    return known.systems[name]


def _can_draw() -> bool:
    from importlib.util import find_spec

    try:
        return find_spec("igraph") is not None
    except ValueError:
        return False


def _files(
    known: "Knowledge", system: "System | None", form: str, *, many: bool, drawn: bool
) -> dict[str, bytes]:
    """Return the files of the book by their names; one file alone has no name."""
    from faultnet.handbook.book import handbook
    from faultnet.handbook.teller import no_picture
    from faultnet.handbook.written import folder, one_file

    day = datetime.now(UTC).date().isoformat()
    look = ""
    picture: Callable[[Cause], Picture | None] = no_picture
    if drawn:
        from faultnet.cli.pictures import pictures
        from faultnet.drawing.network.svg import page_style

        look, picture = page_style(), pictures(known, system, inside=form == "html")
    book: Document = handbook(known, day, system, picture)
    return folder(book, form, look) if many else {"": one_file(book, form, look)}


def _write(wanted: Wanted, files: dict[str, bytes], *, many: bool) -> None:
    paths = {name: wanted.out / name if many else wanted.out for name in files}
    leave_alone(paths.values(), replace=wanted.replace)
    for name, path in paths.items():
        if many:
            _make_folder(path.parent)
        write_file(path, files[name])


def _make_folder(path: Path) -> None:
    try:
        path.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise CannotWriteError(f"{path} cannot be written: {error.strerror}.") from error
