"""Why there is no answer: place, reason and mend."""

import msgspec


class Trouble(msgspec.Struct, frozen=True):
    """What is wrong: where, why, and what helps; ``place`` is a path from ``$``, or a file."""

    place: str
    reason: str
    mend: str


class Troubled(msgspec.Struct, frozen=True):
    """The answer where there is none."""

    trouble: Trouble


class TroubleError(Exception):
    """Something asked cannot be answered."""

    def __init__(self, place: str, reason: str, mend: str) -> None:
        self.trouble = Trouble(place, reason, mend)
        super().__init__(reason)
