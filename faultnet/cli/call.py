"""`call`: the guided call on the phone, and what it comes to."""

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli import complete, kept_cases, options
from faultnet.cli.held import Beginning, Held, Manner, resume, turn_shape
from faultnet.cli.output import show_json

if TYPE_CHECKING:
    from faultnet.cases.store.store import Store
    from faultnet.desk.call import Call

EXAMPLES = """\b
Examples:
  faultnet call jet-pump-cistern
  faultnet call --site site-h3k9mp --truck trucks.yaml
  faultnet call --resume
  faultnet call --resume k7m2p --json
"""


@click.command("call", epilog=EXAMPLES)
@click.argument("system", required=False, shell_complete=complete.systems)
@resume("call", "outcome")
@click.option("--site", metavar="SITE", help="The site where the pump stands.")
@options.trucks
@options.knowledge
@options.as_json
def command(
    system: str | None,
    case: str | None,
    site: str | None,
    files: tuple[Path, ...],
    folder: Path | None,
    as_json: bool,
) -> int:
    """Guide a call: danger first, then who needs water, what to ask, whom and what to send.

    One key answers a question; what is to be read out stands on the screen. Every answer is
    kept at once: hang up when you like and go on later. `faultnet visit --resume` goes on with
    the same case at the pump. --json shows what is due, and what the call comes to.
    """
    from faultnet.authoring.shipped import shipped_folder
    from faultnet.authoring.store import load
    from faultnet.desk.call import call_of
    from faultnet.desk.trucks import trucks_of
    from faultnet.visit.visit import opening

    if case and (system or site):
        raise click.UsageError("SYSTEM and --site begin a new call; they do not go with --resume.")
    if as_json and not case:
        raise click.UsageError("--json goes with --resume.")
    knowledge = load(folder or shipped_folder())
    trucks = trucks_of(files, knowledge)
    opened = partial(opening, who="caller", heading="A new call")
    manner = Manner("call", "caller", partial(call_of, trucks=trucks), opened)
    with kept_cases.opened() as store:
        held = Held(store, knowledge, manner)
        if as_json and case:
            _show(held, case)
        elif case:
            _to_site(store, held.go_on(case, None))
        else:
            _to_site(store, held.begin(Beginning(system, site, who="caller")))
    return 0


def _show(held: "Held[Call]", case: str) -> None:
    """Write where the call stands, what is due and what it comes to."""
    import msgspec

    from faultnet.shapes.cases import case_shape
    from faultnet.shapes.plain import plain

    call, log = held.read(case)
    shape = plain(case_shape(call.at.case, log))
    outcome = msgspec.to_builtins(call.outcome)
    region = held.knowledge.region
    show_json({**shape, "region": region, "turn": turn_shape(call), "outcome": outcome})


def _to_site(store: "Store", call: "Call | None") -> None:
    """Keep who and where with the site, a new one where the call has none."""
    from faultnet.cases.store.settle import settle

    if call is not None:
        settle(store, call.id, call.writer)
