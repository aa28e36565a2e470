"""The page for a cellar without signal, as this office hands it out: with its own knowledge."""

from threading import Lock

from faultnet.model.knowledge import Knowledge
from faultnet.pocket.making.core import Given, is_at_hand
from faultnet.pocket.making.pocket import Pocket, pocket


class Cellar:
    """Makes the page when it is first asked for; all who ask get the same edition."""

    def __init__(self, knowledge: Knowledge, given: Given) -> None:
        self._knowledge, self._given = knowledge, given
        self._making = Lock()
        self._made: Pocket | None = None

    @property
    def is_offered(self) -> bool:
        """Whether what runs Python in a browser is at hand; a server fetches nothing itself."""
        return self._made is not None or is_at_hand(self._given)

    def pocket(self) -> Pocket | None:
        """Return the page, or None where it is not offered; raise ``MakingError``."""
        with self._making:
            if self._made is None and is_at_hand(self._given):
                self._made = pocket(self._knowledge, self._given)
            return self._made
