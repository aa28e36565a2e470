"""`serve`: the pages and the API, for this machine, or for others with accounts."""

import os
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli import kept_cases, options
from faultnet.cli.extra import needed
from faultnet.cli.listening import OPTIONS, Listening, address, listener
from faultnet.cli.output import show, show_json
from faultnet.cli.pocket import Sources

if TYPE_CHECKING:
    from faultnet.web.settings import Settings

EXAMPLES = """\b
Examples:
  faultnet serve
  faultnet serve --port 8080 --truck trucks.yaml
  faultnet serve --host 0.0.0.0 --name pumps.example --tls-cert cert.pem --tls-key key.pem
  faultnet serve --behind-proxy --name pumps.example
  FAULTNET_STORE=postgresql://pumps@db/cases faultnet serve --workers 2
"""

MOST = 1000
"""Requests and connections at once, of each worker; more are told to come again.

A browser keeps its connection for some seconds and may open several.
"""

MOST_WORKERS = 16

HUNG = 60
"""Seconds after which a worker that does not answer is taken for hung, and replaced."""

NO_POCKET = (
    "The page for a cellar without signal is not offered: what runs it was not fetched yet. "
    "`faultnet pocket DIR` does that; then start anew."
)

STOPPING = 10
"""Seconds after which requests that are still answered are cut off, when it stops."""


def _listening(command: options.Command) -> options.Command:
    """Add where to listen; handed on as ``asked``."""
    return options.gathered(Listening, "asked", OPTIONS, command)


@click.command("serve", epilog=EXAMPLES)
@_listening
@options.trucks
@click.option(
    "--workers",
    type=click.IntRange(1, MOST_WORKERS),
    default=1,
    show_default=True,
    help="Processes that answer, for several cores; more than one needs PostgreSQL.",
)
@options.knowledge
@options.as_json
def command(
    asked: Listening, files: tuple[Path, ...], workers: int, folder: Path | None, as_json: bool
) -> int:
    """Serve the open cases, each case and its report to browsers; to programs as JSON.

    Only this machine can reach it, and needs no account while there is none. Others can
    with --host, once there are accounts (`faultnet accounts add`). Programs ask below
    /api/v1; below /pocket/ is the page for a cellar without signal, once `faultnet pocket`
    has fetched what runs it. Ctrl-C ends it. --json writes the addresses as JSON instead.
    """
    with needed("web"):
        import uvicorn
        from uvicorn.supervisors import Multiprocess

        from faultnet.web.server import Server, made
    from faultnet.authoring.shipped import shipped_folder
    from faultnet.authoring.store import load
    from faultnet.cli.places import data_folder
    from faultnet.desk.trucks import trucks_of
    from faultnet.web.settings import Settings

    # Whatever is wrong is told before it listens.
    trucks_of(files, load(folder or shipped_folder()))
    if workers > 1:
        _check_store()
    opened, reach = listener(asked)
    settings = Settings(
        data=data_folder(),
        knowledge=folder or shipped_folder(),
        store=os.environ.get(kept_cases.PATH, ""),
        reach=reach,
        trucks=files,
        core=Sources().given,
    )
    with opened:
        _tell(address(asked, opened.getsockname()[1]), settings, as_json=as_json)
        config = uvicorn.Config(
            partial(made, settings),
            factory=True,
            workers=workers,
            log_level="warning",
            ws="none",
            timeout_graceful_shutdown=STOPPING,
            timeout_worker_healthcheck=HUNG,
            server_header=False,
            limit_concurrency=MOST,
            # Who asks is told by nobody but the proxy, where there is one.
            proxy_headers=asked.proxy is not None,
            forwarded_allow_ips=asked.proxy,
            ssl_certfile=asked.cert,
            ssl_keyfile=asked.key,
        )
        if workers > 1:
            Multiprocess(config, [opened]).run()
        else:
            Server(config).run([opened])
    return 0


def _check_store() -> None:
    """Refuse several workers on a file, and on a store that cannot be used."""
    with kept_cases.opened() as store:
        if not store.place.is_file:
            return
    raise click.UsageError(
        "Several workers need a PostgreSQL server: name it in FAULTNET_STORE. "
        "One is enough for a file."
    )


def _tell(place: str, settings: "Settings", *, as_json: bool) -> None:
    from faultnet.pocket.making.core import is_at_hand

    offered = is_at_hand(settings.core)
    if as_json:
        show_json({"address": place, "pocket": f"{place}/pocket/" if offered else None})
        return
    where = "" if settings.reach.beyond else " on this machine"
    show([f"Open {place}{where}. Ctrl-C ends it."])
    if not offered:
        show([NO_POCKET])
