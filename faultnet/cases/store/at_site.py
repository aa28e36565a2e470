"""Sites out of the store."""

from collections.abc import Callable, Container

from faultnet.cases.fits import Known
from faultnet.cases.fold import fold
from faultnet.cases.site import Site, site_of
from faultnet.cases.store.listing import Listed, cases, found
from faultnet.cases.store.store import Store


def site_at(
    store: Store, name: str, known: Callable[[str], Known], systems: Container[str]
) -> Site:
    """Return where a site stands, with its cases on these systems; raise ``StoreError``.

    ``known`` returns what is known of a system.
    """
    folded = [
        fold(known(case.system), store.read(case.id).entries)
        for case in cases(store, site=name)
        if case.system in systems
    ]
    return site_of(name, store.read(name).entries, folded)


def sites_like(store: Store, words: str, most: int) -> list[Listed]:
    """Return sites that have all these words in name, address or id; raise ``StoreError``."""
    return [each for each in found(store, words) if each.kind == "site"][:most]
