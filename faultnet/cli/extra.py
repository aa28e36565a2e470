"""What is installed only where it is wished for."""

import contextlib
from collections.abc import Iterator

import click


@contextlib.contextmanager
def needed(extra: str) -> Iterator[None]:
    """Tell how to install what is missing, instead of failing over it."""
    try:
        yield
    except ModuleNotFoundError as error:
        mend = f"pip install 'faultnet[{extra}]'"
        raise click.UsageError(f"`{error.name}` is not installed: {mend}") from None
