"""A problem that cannot be planned, and all that is wrong with it."""

from collections.abc import Iterable

import msgspec


class Misfit(msgspec.Struct, frozen=True):
    """One fault of a problem: where, why it cannot stay, and how to mend it."""

    place: str
    reason: str
    mend: str

    def __str__(self) -> str:
        return f"{self.place}: {self.reason} {self.mend}"


class UnfitProblemError(ValueError):
    """A problem that cannot be planned; ``misfits`` has all that is wrong with it."""

    def __init__(self, misfits: Iterable[Misfit]) -> None:
        self.misfits = tuple(misfits)
        super().__init__("\n".join(map(str, self.misfits)))
