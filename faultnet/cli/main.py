"""The way in: the group of commands, and the one boundary where errors end."""

import contextlib
import gc
import os
import sys
from typing import NoReturn

import click

from faultnet import __version__
from faultnet.cli.output import CannotWriteError, show_error
from faultnet.cli.refusal import INTERRUPTED, OUR_FAULT, Refusal, refusal_of
from faultnet.cli.table import Table

NAME = "faultnet"
COMPLETION = "_FAULTNET_COMPLETE"
"""Set by the shell when it asks for completions."""
ONE_THREAD = ("OPENBLAS_NUM_THREADS", "1")
"""NumPy's arrays here are small; threads would only make it slow to start."""
RARELY = 100_000
"""New objects between collections; a command makes many small ones and is soon over."""
PIPE_CLOSED = 141
"""What a shell reports for a program whose reader went away."""

EXAMPLES = """\b
Example:
  faultnet next jet-pump-cistern -f never-shuts-off=yes
  faultnet rank jet-pump-cistern -f prime-level-falls=yes
"""


@click.group(
    cls=Table,
    epilog=EXAMPLES,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"]},
)
@click.version_option(__version__, message="faultnet %(version)s")
@click.pass_context
def cli(ctx: click.Context) -> None:
    """Rank what is probably wrong with a jet pump, and price the next step.

    Exits: 0 fine, 1 problems found, 2 not understood, 3 a fault of faultnet,
    130 interrupted. Every command has --help and --json.
    """
    if ctx.invoked_subcommand is None:
        click.echo(ctx.get_help())


def main() -> NoReturn:
    """Run what the command line says and leave with its exit code."""
    os.environ.setdefault(*ONE_THREAD)
    gc.set_threshold(RARELY)
    if COMPLETION in os.environ:
        cli.main(prog_name=NAME)
    try:
        code = run(sys.argv[1:])
    except BrokenPipeError:
        code = PIPE_CLOSED
        _close_quietly()
    _leave(code)


def run(args: list[str]) -> int:
    """Run the arguments and return the exit code; only ``BrokenPipeError`` gets out."""
    try:
        with cli.make_context(NAME, list(args)) as ctx:
            return int(cli.invoke(ctx) or 0)
    except click.exceptions.Exit as left:
        return left.exit_code
    except BrokenPipeError:
        raise
    except (click.Abort, EOFError, KeyboardInterrupt):
        refusal = Refusal(INTERRUPTED, "interrupted", "Interrupted.")
    # The outermost boundary: what nobody foresaw is no traceback on the screen but a report with
    # all of it, and exit 3. Whoever catches less here shows the rest to the technician.
    except Exception as error:  # noqa: BLE001 -- the outermost boundary
        refusal = refusal_of(error) or _our_fault(error, args)
    with contextlib.suppress(CannotWriteError):
        show_error(refusal, as_json="--json" in args)
    return refusal.code


def _our_fault(error: Exception, args: list[str]) -> Refusal:
    from faultnet.cli.fault import write_report

    report = write_report(error, args)
    told = f"a report is in {report}" if report else "no report could be written"
    message = f"This is a fault of faultnet, not yours; {told}."
    return Refusal(OUR_FAULT, "fault", message, more={"report": report})


def _close_quietly() -> None:
    """Let nothing more be written to a reader that is gone."""
    with contextlib.suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        for stream in (sys.stdout, sys.stderr):
            if stream is not None:
                os.dup2(nowhere, stream.fileno())


def _leave(code: int) -> NoReturn:
    """Leave at once: clearing away one by one all that was read and imported takes long."""
    for stream in (sys.stdout, sys.stderr):
        try:
            if stream is not None:
                stream.flush()
        except BrokenPipeError:
            code = PIPE_CLOSED
        except (OSError, ValueError):
            code = code or OUR_FAULT
    os._exit(code)
