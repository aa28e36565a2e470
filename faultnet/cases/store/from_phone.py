"""Open cases that were begun on the phone and that nobody has taken up at the pump."""

from faultnet.cases.events import Joined, Opened
from faultnet.cases.store.listing import Listed, cases
from faultnet.cases.store.store import Store

LOOKED_AT = 30
"""Open cases that are looked at, the last touched first."""


def from_phone(store: Store) -> list[Listed]:
    """Return them, the last touched first; raise ``StoreError``."""
    listed = [each for each in cases(store, ended=False) if each.system]
    return [each for each in listed[:LOOKED_AT] if _waits(store, each.id)]


def _waits(store: Store, case: str) -> bool:
    """Whether only callers have spoken in a case."""
    events = [entry.event for entry in store.read(case).entries]
    speakers = {each.speaker for each in events if isinstance(each, Opened | Joined)}
    return speakers == {"caller"}
