"""`serve`: the page and the JSON API, on this machine unless told otherwise."""

import os
from pathlib import Path

import click

from faultnet.cli import kept_cases, options

EXAMPLES = """\b
Examples:
  faultnet serve
  faultnet serve --port 8080
"""


@click.command("serve", epilog=EXAMPLES)
@click.option("--host", default="127.0.0.1", show_default=True, help="The address to listen on.")
@click.option(
    "--port", type=click.IntRange(0, 65535), default=8017, show_default=True, help="The port."
)
@options.knowledge
def command(host: str, port: int, folder: Path | None) -> int:
    """Serve the board, the cases and the knowledge to browsers.

    It listens on this machine alone unless --host says otherwise. Ctrl-C ends it.
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
        host=host,
        port=port,
    )
    uvicorn.run(application(settings), host=host, port=port, log_level="warning")
    return 0
