"""What people wrote of causes that are in no file, without anything that tells of a customer.

A text is somebody's own words: the name of a house may stand in it. So of each only those words
are read that stand in such texts of ``FEWEST`` sites or more. Of rarer words nothing would be
made in any case: newcomers are looked for by words that come again.
"""

from collections.abc import Collection, Iterable, Mapping

from msgspec.structs import replace

from faultnet.cases import events as e
from faultnet.cases.anonymous import anonymous
from faultnet.cases.entry import Entry
from faultnet.learning.newcomers.words import FEWEST, in_order, words_of


def without_customer(entry: Entry, words: Collection[str]) -> Entry:
    """Return an entry without what tells of the customer; of own words those are left in."""
    kept = anonymous(entry)
    if isinstance(entry.event, e.Confirmed) and isinstance(kept.event, e.Confirmed):
        left = " ".join(said for said, word in in_order(entry.event.text) if word in words)
        return replace(kept, event=replace(kept.event, text=left))
    return kept


def of_many_sites(
    entries: Iterable[Entry], sites: Mapping[str, str], before: Mapping[str, str]
) -> frozenset[str]:
    """Return the words that are said of so many sites.

    ``sites`` maps cases to their sites; one without a site stands for itself, and a call-back
    for the case ``before`` it.
    """
    places: dict[str, set[str]] = {}
    for entry in entries:
        if isinstance(entry.event, e.Confirmed) and entry.event.unlisted:
            place = _place(entry.log, sites, before)
            for word in words_of(entry.event.text):
                places.setdefault(word, set()).add(place)
    return frozenset(word for word, seen in places.items() if len(seen) >= FEWEST)


def _place(case: str, sites: Mapping[str, str], before: Mapping[str, str]) -> str:
    passed = {case}
    while not sites.get(case) and before.get(case, case) not in passed:
        case = before[case]
        passed.add(case)
    return sites.get(case) or case
