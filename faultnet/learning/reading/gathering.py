"""The cases of a part as they are gathered, row by row, with what is set aside."""

from collections.abc import Callable

from faultnet.learning.closed import ClosedCase
from faultnet.learning.reading.row import FAULTS, not_read
from faultnet.learning.source import Batch, SetAside


class Gathering:
    """What was read of a part so far."""

    def __init__(self) -> None:
        self._cases: list[ClosedCase] = []
        self._places: list[str] = []
        self._aside: list[SetAside] = []

    def row(self, place: str, read: Callable[[], ClosedCase], name: Callable[[], object]) -> None:
        """Add what ``read`` makes of a row; ``name`` looks for its id where it holds no case."""
        try:
            self._cases.append(read())
        except FAULTS as error:
            self._aside.append(not_read(error, place, name()))
        else:
            self._places.append(place)

    def aside(self, one: SetAside) -> None:
        """Add what cannot be used."""
        self._aside.append(one)

    @property
    def batch(self) -> Batch:
        """All that was gathered."""
        return Batch(tuple(self._cases), tuple(self._aside), tuple(self._places))
