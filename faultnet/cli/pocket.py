"""`pocket`: the page for a cellar without signal, as files for any file server."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli import options
from faultnet.cli.output import show, show_json

if TYPE_CHECKING:
    from faultnet.pocket.making.core import Given
    from faultnet.pocket.making.pocket import Pocket
    from faultnet.pocket.making.written import Written
    from faultnet.shapes.plain import Json

EXAMPLES = """\b
Examples:
  faultnet pocket cellar
  faultnet pocket cellar --knowledge my-knowledge --region coast
  faultnet pocket cellar --pyodide pyodide-314.0.7.tgz
"""


@dataclass(frozen=True)
class Sources:
    """Where what runs Python in a browser lies, as far as that is said."""

    pyodide: Path | None = None
    msgspec: Path | None = None

    @property
    def given(self) -> "Given":
        """The same, with where it is kept once it was fetched."""
        from faultnet.authoring.store import cache_folder
        from faultnet.pocket.making.core import Given

        cache = cache_folder()
        return Given(self.pyodide, self.msgspec, cache and cache / "pocket")


_SOURCES = (
    click.option(
        "--pyodide",
        type=click.Path(exists=True, path_type=Path),
        metavar="FILE|FOLDER",
        help="The npm package pyodide, instead of fetching it.",
    ),
    click.option(
        "--msgspec",
        type=click.Path(exists=True, dir_okay=False, path_type=Path),
        metavar="FILE",
        help="The wheel of msgspec for browsers, instead of fetching it.",
    ),
)


def _sources(command: Callable[..., int]) -> Callable[..., int]:
    """Add where to find what is fetched otherwise; handed on as ``sources``."""
    return options.gathered(Sources, "sources", _SOURCES, command)


@click.command("pocket", epilog=EXAMPLES)
@click.argument("to", type=click.Path(path_type=Path), metavar="DIR")
@_sources
@options.knowledge
@options.as_json
def command(to: Path, sources: Sources, folder: Path | None, as_json: bool) -> int:
    """Write the page for a cellar without signal into DIR, with the knowledge in it.

    Put DIR on any file server with https and open it once on the phone: from then on it
    works without a network. DIR is new, empty, or holds such a page: then this one takes
    its place, and phones are told. What runs Python in a browser is fetched by npm and pip
    the first time, about 7 MB, and kept.
    """
    from faultnet.authoring.shipped import shipped_folder
    from faultnet.authoring.store import load
    from faultnet.pocket.making.pocket import pocket
    from faultnet.pocket.making.written import look, write

    look(to)
    made = pocket(load(folder or shipped_folder()), sources.given)
    written = write(made, to)
    if as_json:
        show_json(_plain(to, made, written))
    else:
        show(_lines(to, made, written))
    return 0


def _plain(to: Path, made: "Pocket", written: "Written") -> "Json":
    edition = made.edition
    return {
        "out": str(to),
        "edition": edition.edition,
        "before": written.before.edition if written.before else None,
        "changed": written.changed,
        "knowledge": edition.knowledge,
        "region": edition.region or None,
        "faultnet": edition.faultnet,
        "bytes": made.raw,
        "bytes_sent": made.sent,
        "files": [{"path": each.path, "bytes": each.bytes} for each in edition.files],
    }


def _lines(to: Path, made: "Pocket", written: "Written") -> Iterator[str]:
    edition, before = made.edition, written.before
    if before is None:
        yield f"The page is written to {to}: edition {edition.edition[:8]}."
    elif before.edition == edition.edition:
        yield f"{to} holds this edition already: {edition.edition[:8]}."
    else:
        yield f"Edition {edition.edition[:8]} takes the place of {before.edition[:8]} in {to}."
    yield (
        f"A phone fetches {made.sent / 1e6:.1f} MB the first time, keeps {made.raw / 1e6:.1f} MB, "
        "and then needs no network."
    )
