"""`serve`: the pages and the API, for this machine, or for others with accounts."""

import os
from pathlib import Path

import click

from faultnet.cli import kept_cases, options
from faultnet.cli.extra import needed
from faultnet.cli.listening import OPTIONS, Listening, address, listener
from faultnet.cli.output import show, show_json

EXAMPLES = """\b
Examples:
  faultnet serve
  faultnet serve --port 8080 --truck trucks.yaml
  faultnet serve --host 0.0.0.0 --name pumps.example --tls-cert cert.pem --tls-key key.pem
  faultnet serve --behind-proxy --name pumps.example
"""

MOST = 100
"""Requests and connections at once; more are told to come again."""


def _listening(command: options.Command) -> options.Command:
    """Add where to listen; handed on as ``asked``."""
    return options.gathered(Listening, "asked", OPTIONS, command)


@click.command("serve", epilog=EXAMPLES)
@_listening
@options.trucks
@options.knowledge
@options.as_json
def command(asked: Listening, files: tuple[Path, ...], folder: Path | None, as_json: bool) -> int:
    """Serve the open cases, each case and its report to browsers; to programs as JSON.

    Only this machine can reach it, and needs no account while there is none. Others can
    with --host, once there are accounts (`faultnet accounts add`). Programs ask below
    /api/v1. Ctrl-C ends it. --json writes the address as JSON instead.
    """
    with needed("web"):
        import argon2  # noqa: F401 without it nobody could log in
        import uvicorn

        from faultnet.web.app import application
        from faultnet.web.server import Server
    from faultnet.authoring.shipped import shipped_folder
    from faultnet.authoring.store import load
    from faultnet.cli.places import data_folder
    from faultnet.desk.trucks import trucks_of
    from faultnet.web.settings import Settings

    trucks_of(
        files, load(folder or shipped_folder())
    )  # whatever is wrong is told before it listens
    opened, reach = listener(asked)
    settings = Settings(
        data=data_folder(),
        knowledge=folder or shipped_folder(),
        store=os.environ.get(kept_cases.PATH, ""),
        reach=reach,
        trucks=files,
    )
    with opened:
        _tell(address(asked, opened.getsockname()[1]), beyond=reach.beyond, as_json=as_json)
        config = uvicorn.Config(
            application(settings),
            log_level="warning",
            ws="none",
            server_header=False,
            limit_concurrency=MOST,
            # Who asks is told by nobody but the proxy, where there is one.
            proxy_headers=asked.proxy is not None,
            forwarded_allow_ips=asked.proxy,
            ssl_certfile=asked.cert,
            ssl_keyfile=asked.key,
        )
        Server(config).run([opened])
    return 0


def _tell(place: str, *, beyond: bool, as_json: bool) -> None:
    if as_json:
        show_json({"address": place})
    else:
        show([f"Open {place}{'' if beyond else ' on this machine'}. Ctrl-C ends it."])
