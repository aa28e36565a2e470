"""The one order of entries, whatever order they arrived in, and who had seen what."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from heapq import heapify, heappop, heappush

import msgspec

from faultnet.cases.entry import Entry

Key = tuple[str, str, int, str]


@dataclass(frozen=True)
class Order:
    """Entries in their order, each once.

    Nothing stands before what its author had seen; what is left open by that is settled
    by the authors' clocks, then by author, number and id. ``missing`` are ids that were
    seen by somebody and have not arrived.
    """

    entries: tuple[Entry, ...] = ()
    missing: tuple[str, ...] = ()
    _seen: tuple[int, ...] = field(default=(), repr=False)

    def saw(self, later: int, earlier: int) -> bool:
        """Whether the author of the entry at one place had seen the entry at another."""
        return bool(self._seen[later] >> earlier & 1)


def order_of(entries: Iterable[Entry]) -> Order:
    """Return the order of entries; the same for the same entries, however often each comes."""
    by_id = _once(entries)
    keys = {name: _key(entry) for name, entry in by_id.items()}
    parents = {name: {a for a in e.after if a in by_id} for name, e in by_id.items()}
    children: dict[str, list[str]] = {}
    for name, found in parents.items():
        for parent in found:
            children.setdefault(parent, []).append(name)
    missing = sorted({a for e in by_id.values() for a in e.after} - by_id.keys())
    places: dict[str, int] = {}
    seen: list[int] = []
    for name in _sorted(keys, {n: len(found) for n, found in parents.items()}, children):
        known = 0
        for parent in parents[name]:
            if parent in places:
                known |= seen[places[parent]] | 1 << places[parent]
        places[name] = len(seen)
        seen.append(known)
    return Order(tuple(by_id[name] for name in places), tuple(missing), tuple(seen))


def _sorted(
    keys: dict[str, Key], waits: dict[str, int], children: dict[str, list[str]]
) -> Iterable[str]:
    """Yield names, the least key first among those that wait for nothing.

    Where entries wait for one another in a circle, which no author can bring about, the
    least of them goes first.
    """
    free = [keys[name] for name, number in waits.items() if not number]
    heapify(free)
    left = dict(waits)
    while left:
        if not free:
            heappush(free, min(keys[name] for name in left))
        name = heappop(free)[-1]
        if left.pop(name, None) is None:
            continue
        yield name
        for child in children.get(name, ()):
            if child in left:
                left[child] -= 1
                if not left[child]:
                    heappush(free, keys[child])


def _once(entries: Iterable[Entry]) -> dict[str, Entry]:
    kept: dict[str, Entry] = {}
    for entry in entries:
        other = kept.setdefault(entry.id, entry)
        if other != entry:
            kept[entry.id] = min(other, entry, key=msgspec.json.encode)
    return kept


def _key(entry: Entry) -> Key:
    return entry.at, entry.author, entry.number, entry.id
