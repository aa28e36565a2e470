"""`serve`: the pages and the API, for browsers and programs on this machine."""

import os
import socket
from pathlib import Path

import click

from faultnet.cli import kept_cases, options
from faultnet.cli.output import show, show_json

EXAMPLES = """\b
Examples:
  faultnet serve
  faultnet serve --port 8080
"""


ADDRESS = "127.0.0.1"
"""Nobody beyond this machine can reach it: there are no accounts."""


@click.command("serve", epilog=EXAMPLES)
@click.option(
    "--port", type=click.IntRange(0, 65535), default=8017, show_default=True, help="The port."
)
@options.knowledge
@options.as_json
def command(port: int, folder: Path | None, as_json: bool) -> int:
    """Serve the open cases, each case and its report to browsers; to programs as JSON.

    Only this machine can reach it; programs ask below /api/v1. Ctrl-C ends it. --json writes
    the address as JSON instead.
    """
    try:
        import uvicorn

        from faultnet.web.app import application
    except ModuleNotFoundError as error:
        mend = "pip install 'faultnet[web]'"
        raise click.UsageError(f"`{error.name}` is not installed: {mend}") from None
    from faultnet.authoring.shipped import shipped_folder
    from faultnet.cli.places import data_folder
    from faultnet.web.settings import Settings

    settings = Settings(
        data=data_folder(),
        knowledge=folder or shipped_folder(),
        store=os.environ.get(kept_cases.PATH, ""),
    )
    with _listening(port) as listener:
        address = f"http://localhost:{listener.getsockname()[1]}"
        if as_json:
            show_json({"address": address})
        else:
            show([f"Open {address} on this machine. Ctrl-C ends it."])
        server = uvicorn.Server(uvicorn.Config(application(settings), log_level="warning"))
        server.run([listener])
    return 0


def _listening(port: int) -> socket.socket:
    try:
        return socket.create_server((ADDRESS, port))
    except OSError as error:
        reason = f"Port {port} cannot be had: {error.strerror}."
        raise click.UsageError(f"{reason} Give another: --port 0 takes any.") from None
