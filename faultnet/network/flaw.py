"""Flaws: what is wrong in a network file, where, why and how to mend it."""

from collections.abc import Iterable

import msgspec


class Flaw(msgspec.Struct, frozen=True):
    """One thing wrong in one place; lines count from one, 0 is the whole file.

    ``entity`` is the variable it is about, or empty; ``hint`` is the mend.
    """

    code: str
    file: str
    line: int
    message: str
    hint: str = ""
    entity: str = ""


class NetworkFileError(Exception):
    """A network file cannot be read or written; ``flaws`` say why, at least one."""

    def __init__(self, flaws: Iterable[Flaw]) -> None:
        """Keep the flaws; the message is that of the first."""
        self.flaws = tuple(flaws)
        first = self.flaws[0]
        super().__init__(f"{first.file}:{first.line}: {first.message} {first.hint}".rstrip())


def refuse(
    code: str, message: str, hint: str = "", *, file: str = "", line: int = 0, entity: str = ""
) -> NetworkFileError:
    """Return the error with a single flaw."""
    return NetworkFileError([Flaw(code, file, line, message, hint, entity)])
