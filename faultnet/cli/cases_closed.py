"""`cases closed`: the closed cases as one file, to learn from elsewhere."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli import kept_accounts, kept_cases, options
from faultnet.cli.output import leave_alone, show, show_json

if TYPE_CHECKING:
    from collections.abc import Iterator

    from faultnet.learning.closed import ClosedCase
    from faultnet.learning.fit.tally import Counting, Tally
    from faultnet.learning.source import Source


@click.command("closed")
@click.argument("output", metavar="FILE", type=click.Path(dir_okay=False, path_type=Path))
@click.option(
    "--from",
    "where",
    metavar="SOURCE",
    help="Read them there instead of the cases that are kept.",
)
@click.option(
    "--note-region", "noted", metavar="NAME", help="Note this region on cases that have none."
)
@options.knowledge
@options.replace
@options.as_json
def closed_command(
    output: Path,
    where: str | None,
    noted: str | None,
    folder: Path | None,
    replace: bool,
    as_json: bool,
) -> int:
    """Write the closed cases to FILE (.jsonl or .parquet), to learn from and to measure on.

    Customers are left out: there is no name, no note, no picture, no site. What cannot be
    read is left out, counted and named; then the exit is 1.
    """
    from faultnet.authoring.shipped import shipped_folder
    from faultnet.authoring.store import load
    from faultnet.cli.closed_source import opened
    from faultnet.learning.fit.tally import Counting
    from faultnet.learning.reading.written import check_ending, write_cases

    check_ending(output)
    leave_alone([output], replace=replace)
    knowledge = load(folder or shipped_folder())
    counting = Counting(knowledge.version)
    write_cases(output, _cases(opened(where, knowledge), noted or "", counting))
    if not where:
        with kept_cases.opened() as store:
            kept_accounts.note(store, "case exported", f"closed cases to {output.name}"[:200])
    return _tell(output, counting.tally, as_json=as_json)


def _cases(source: "Source", region: str, counting: "Counting") -> "Iterator[ClosedCase]":
    from msgspec.structs import replace

    from faultnet.cli.progress import told

    parts = source.parts()
    for batch in told((part.read() for part in parts), len(parts), "parts of the cases"):
        counting.add(batch)
        for case in batch.cases:
            yield replace(case, region=case.region or region)


def _tell(output: Path, tally: "Tally", *, as_json: bool) -> int:
    from faultnet.learning.fit.tally import lines_of, number_of_cases

    if as_json:
        from faultnet.shapes.closed import written_shape

        show_json(written_shape(str(output), tally))
    else:
        written = f"{number_of_cases(tally.used)} written to {output}"
        show([written, *(lines_of(tally) if tally.aside else ())])
    return 1 if tally.aside else 0
