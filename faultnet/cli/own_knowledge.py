"""Knowledge of one's own that a command writes to."""

import os
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from faultnet.authoring.writing.change import Change


def refuse_unwritable(folder: Path, again: str) -> None:
    """Raise ``UsageError`` for knowledge that belongs to the program, or that is not to write.

    ``again`` is the command as it goes on a copy called my-knowledge.
    """
    from faultnet.authoring.shipped import inside

    ours = folder.resolve() == inside().resolve()
    if ours or not os.access(folder, os.W_OK):
        told = "came with the program" if ours else "cannot be written to"
        raise click.UsageError(
            f"The knowledge in {folder} {told}. Make a copy of your own and write to that:\n"
            f"  cp -r {folder} my-knowledge\n  {again}"
        )


def written(folder: Path, changes: "tuple[Change, ...]") -> None:
    """Write the files; raise ``CannotWriteError`` and ``ChangedMeanwhileError``."""
    from faultnet.authoring.writing.change import write
    from faultnet.cli.output import CannotWriteError

    try:
        write(folder, changes)
    except OSError as error:
        reason = error.strerror or "the disk says no"
        raise CannotWriteError(f"{folder} cannot be written to: {reason}.") from error
