"""Why a pocket cannot be made, in words: place, reason, mend."""


class MakingError(Exception):
    """What keeps a pocket from being made; the message tells place, reason and mend."""

    def __init__(self, place: str, reason: str, mend: str) -> None:
        self.place, self.reason, self.mend = place, reason, mend
        super().__init__(f"{place}: {reason}.")
