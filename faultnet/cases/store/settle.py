"""Who and where, as told in a case, kept with its site."""

from msgspec.structs import replace

from faultnet.cases.counting import counting
from faultnet.cases.entry import Entry, Writer
from faultnet.cases.events import AtSite, Named, SiteBegun
from faultnet.cases.order import order_of
from faultnet.cases.site import FIELDS, site_of
from faultnet.cases.standing import standing_of
from faultnet.cases.store.store import Store


def settle(store: Store, case: str, writer: Writer) -> None:
    """Keep what a case says of who and where with its site; raise ``StoreError``.

    A case without a site gets a new one. Done again it changes nothing.
    """
    entries = store.read(case).entries
    named = _named(entries)
    if named == Named():
        return
    standing = standing_of(order_of(entries))
    if not standing.site:
        begun = writer.begin(SiteBegun(standing.system))
        told = writer.entry(begun.log, named, (begun,))
        store.append((begun, told, writer.entry(case, AtSite(begun.log), entries)))
        return
    site = store.read(standing.site).entries
    known = site_of(standing.site, site)
    new = {f: getattr(named, f) for f in FIELDS if getattr(named, f) != getattr(known, f)}
    if site and any(new.values()):
        store.append((writer.entry(standing.site, Named(**new), site),))


def _named(entries: tuple[Entry, ...]) -> Named:
    """Return who and where, the last word on each."""
    order = order_of(entries)
    found = Named()
    for place in counting(order):
        event = order.entries[place].event
        if isinstance(event, Named):
            said = {f: getattr(event, f) for f in FIELDS if getattr(event, f)}
            found = replace(found, **said)
    return found
