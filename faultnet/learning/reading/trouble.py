"""Why closed cases cannot be read or written at all, in words: place, reason, mend."""

from importlib.util import find_spec


class SourceError(Exception):
    """A source that cannot be used as a whole; the message tells place, reason and mend."""

    def __init__(self, place: str, reason: str, mend: str = "") -> None:
        self.place, self.reason, self.mend = place, reason, mend
        super().__init__(" ".join(filter(None, (f"{place}: {reason}.", mend))))


def unreadable(place: str, error: OSError) -> SourceError:
    """Return the trouble of a file that cannot be read."""
    reason = f"cannot be read ({error.strerror or 'the disk says no'})"
    return SourceError(place, reason, "See that the file is there, and that you may read it.")


def need_pyarrow(place: str) -> None:
    """Raise ``SourceError`` where what reads and writes Parquet is not installed."""
    if find_spec("pyarrow") is None:
        mend = "Install it: pip install 'faultnet[parquet]'"
        raise SourceError(place, "Parquet needs pyarrow, which is not installed", mend)
