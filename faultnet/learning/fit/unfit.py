"""That a case cannot be used."""


class UnfitError(Exception):
    """A case that cannot be used: a code that is counted by, and the reason."""

    def __init__(self, code: str, reason: str) -> None:
        self.code, self.reason = code, reason
        super().__init__(reason)
