"""A site out of the store, and what a case that begins there knows from the start."""

from collections.abc import Callable, Container

from msgspec.structs import replace

from faultnet.cases.events import Opened
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


def begun_at(site: Site, opened: Opened) -> Opened:
    """Return the first event of a case at a site: its layout and settings are known."""
    settings = {name: f"{s.value:g}{s.unit}" for name, s in site.settings.items()}
    system = opened.system or site.system
    return replace(opened, system=system, site=site.id, layout=site.layout, settings=settings)


def sites_like(store: Store, words: str, most: int) -> list[Listed]:
    """Return sites that have all these words in name, address or id; raise ``StoreError``."""
    return [each for each in found(store, words) if each.kind == "site"][:most]
