"""A case while somebody is at work on it: every entry is kept before the next question."""

from faultnet.cases.entry import Entry
from faultnet.cases.store.store import Log, Store


class Keeping:
    """One case in a store; others may write to it meanwhile."""

    def __init__(self, store: Store, case: str, place: int = 0) -> None:
        """``place`` is that of the last entry that is known already."""
        self.case = case
        self._store, self._place = store, place

    def keep(self, entry: Entry) -> tuple[Entry, ...]:
        """Keep an entry and return what others have written since; raise ``StoreError``."""
        self._store.append((entry,))
        log: Log = self._store.read(self.case, self._place)
        self._place = log.place
        return tuple(each for each in log.entries if each.id != entry.id)
