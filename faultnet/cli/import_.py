"""`import`: a network of an open format, checked and kept under a name."""

from pathlib import Path

import click

from faultnet.cli import options
from faultnet.cli.output import show, show_json

EXAMPLES = """\b
Examples:
  faultnet import alarm.bif
  faultnet import clinic.xml --name chest-clinic --replace
"""


@click.command("import", epilog=EXAMPLES)
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--name", metavar="NAME", help="The name to keep it under; else that of the file.")
@options.network_format
@click.option("--replace", is_flag=True, help="Replace a network of that name.")
@options.as_json
def command(file: Path, name: str | None, form: str | None, replace: bool, as_json: bool) -> int:
    """Check a network file and keep the network for `rank` and `next`.

    BIF, XMLBIF, UAI and NET are read. Everything wrong with a file is told, with its line
    and the mend; then nothing is kept.
    """
    from faultnet.cli.imported import keep
    from faultnet.network.read import read_network

    tables = read_network(file, form)
    kept = name or file.stem
    where = keep(tables, kept, replace=replace)
    roots = [variable.id for variable in tables.variables if not variable.parents]
    count = len(tables.variables)
    if as_json:
        told = {"system": kept, "file": str(where), "variables": count, "roots": roots}
        show_json(told)
    else:
        show([f"Kept as {kept}: {count} variables, {len(roots)} without parents."])
        click.echo(f"Go on: faultnet rank {kept} -f VARIABLE=STATE", err=True)
    return 0
