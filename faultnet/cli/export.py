"""`export`: a system as a network of an open format."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli import complete, options
from faultnet.cli.asked import Asked
from faultnet.cli.output import show, show_json

if TYPE_CHECKING:
    from faultnet.network.tables import Tables

EXAMPLES = """\b
Examples:
  faultnet export jet-pump-cistern pump.bif
  faultnet export jet-pump-cistern pump.txt --format net
"""


@click.command("export", epilog=EXAMPLES)
@click.argument("system", shell_complete=complete.systems)
@click.argument("file", type=click.Path(path_type=Path))
@options.network_format
@click.option("--replace", is_flag=True, help="Write over a file that is there.")
@options.knowledge
@options.as_json
def command(
    system: str, file: Path, form: str | None, replace: bool, folder: Path | None, as_json: bool
) -> int:
    """Write a system as a Bayesian network: BIF, XMLBIF, UAI or NET, by the suffix of FILE.

    Gates with many parents are divorced into chains of small tables. That there is a
    trouble at all is evidence, which no format can carry; it is told beside.
    """
    from faultnet.network.read import format_of
    from faultnet.network.write import write_network

    name = form or format_of(file)
    if file.exists() and not replace:
        raise click.UsageError(f"{file} is there already. Name another file, or --replace it.")
    tables, known = _network(system, folder)
    write_network(tables, file, name)
    if as_json:
        variables = [{"id": v.id, "states": list(v.states)} for v in tables.variables]
        told = {"system": system, "file": str(file), "format": name, "evidence": known}
        show_json({**told, "variables": variables})
        return 0
    show([f"Written to {file}: {len(tables.variables)} variables."])
    for variable, state in known.items():
        click.echo(f"Set {variable}={state} there: it says that there is a trouble.", err=True)
    if name == "uai":
        click.echo("This format has no names; --json tells them in their order.", err=True)
    return 0


def _network(system: str, folder: Path | None) -> "tuple[Tables, dict[str, str]]":
    """Return the tables of a system, and what is known before any evidence."""
    from faultnet.cli.imported import found
    from faultnet.network.recorder import TROUBLE, record_tables

    path = found(Asked(system, folder))
    if path is not None:
        from faultnet.network.read import read_network

        return read_network(path), {}
    from faultnet.advice.subject import make_subject
    from faultnet.authoring.shipped import shipped_folder
    from faultnet.authoring.store import load

    network = make_subject(load(folder or shipped_folder()), system).network
    return record_tables(network), dict(TROUBLE[network.faults])
