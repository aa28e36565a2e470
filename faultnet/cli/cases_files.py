"""`cases export` and `cases import`: a case as one file."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli import kept_cases, options
from faultnet.cli.cases import named
from faultnet.cli.output import CannotWriteError, show, show_json, write_file

if TYPE_CHECKING:
    from faultnet.cases.entry import Entry
    from faultnet.shapes.plain import Json


@click.command("export")
@named
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), metavar="FILE", help="The file to write."
)
@click.option(
    "--without-customer", is_flag=True, help="Leave out names, notes, pictures and the site."
)
@options.as_json
def export_command(case: str, output: Path | None, without_customer: bool, as_json: bool) -> int:
    """Write a case as one JSON file, with its site; to standard output without -o.

    What is written is JSON in any case; with -o, --json tells what was written as JSON.
    """
    from faultnet.cases.casefile import casefile_of, text_of

    with kept_cases.opened() as store:
        listed = kept_cases.one(store, case)
        log = store.read(listed.id)
        site = store.read(listed.site) if listed.site else None
    if log.unread or not log.entries:
        message = f"{log.unread} event(s) of {listed.id} are damaged or of a newer faultnet."
        raise CannotWriteError(f"{message} Nothing was written.")
    made = casefile_of(log.entries, site.entries if site else (), without_customer=without_customer)
    text = text_of(made)
    if output is None:
        show([text.decode().rstrip("\n")])
        return 0
    write_file(output, text)
    if as_json:
        show_json({"case": listed.id, "file": str(output), "events": len(log.entries)})
    else:
        show([f"{listed.id}: {len(log.entries)} events written to {output}"])
    return 0


@click.command("import")
@click.argument(
    "files", nargs=-1, required=True, metavar="FILE...", type=click.Path(path_type=Path)
)
@options.as_json
def import_command(files: tuple[Path, ...], as_json: bool) -> int:
    """Keep cases from their files; what is kept already changes nothing.

    FILE is what `faultnet cases export` wrote, `-` for standard input, or a visit as it
    was kept before (.jsonl). Where one of them cannot be taken, the others are.
    """
    from faultnet.cases.casefile import CasefileError
    from faultnet.cases.store.trouble import StoreError

    told: list[Json] = []
    with kept_cases.opened() as store:
        for path in files:
            try:
                entries, lost = _entries(path)
                new = store.append(entries)
            except (CasefileError, StoreError) as error:
                told.append({"file": str(path), "error": str(error)})
                continue
            case = entries[-1].log
            told.append({"file": str(path), "case": case, "new": len(new), "lost_lines": lost})
    return _tell(told, as_json=as_json)


def _entries(path: Path) -> "tuple[tuple[Entry, ...], int]":
    from faultnet.cases.casefile import casefile_from, read_file
    from faultnet.cases.old_visits import SUFFIX, entries_from

    data = read_file(path)
    if path.suffix == SUFFIX:
        return entries_from(data, path.stem, str(path))
    return casefile_from(data, str(path)).entries, 0


def _tell(told: "list[Json]", *, as_json: bool) -> int:
    refused = [each for each in told if "error" in each]
    if as_json:
        show_json({"files": told})
    else:
        for each in told:
            if "error" not in each:
                lost = f", {each['lost_lines']} damaged line(s) left out" * bool(each["lost_lines"])
                show([f"{each['file']}: {each['case']}, {each['new']} new event(s){lost}"])
        for each in refused:
            click.echo(each["error"], err=True)
    return 1 if refused else 0
