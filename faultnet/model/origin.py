"""Where an authored entry stands and where an authored number comes from."""

import msgspec


class Origin(msgspec.Struct, frozen=True):
    """A place in a knowledge file; line and column count from one."""

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        """Return the place as ``file:line:column``."""
        return f"{self.file}:{self.line}:{self.column}"


class Number(msgspec.Struct, frozen=True):
    """An authored number with the word it was written as, if any, and its provenance.

    ``provenance`` holds source ids or one of ``judgement``, ``practice``, ``memory``.
    """

    value: float
    origin: Origin
    provenance: tuple[str, ...]
    word: str = ""


NOWHERE = Origin("", 0, 0)
"""The origin of what no file holds."""
