"""Known sites, as they are chosen for a call or a visit."""

from faultnet.cases.entry import is_site
from faultnet.cases.site import Site, site_of
from faultnet.cases.store import at_site
from faultnet.web.office import Office

SHOWN = 12
"""Sites that are shown; whoever finds more types another word."""

LONGEST = 100
"""Letters that are looked for; more are left out."""


def sites_like(office: Office, words: str, system: str = "") -> list[Site]:
    """Return sites by part of name or address, those of one system if named.

    Raises ``StoreError``.
    """
    if not office.customer:
        return []
    found = at_site.sites_like(office.store, words, SHOWN)
    wanted = (each for each in found if each.system == system or not system)
    return [site_of(each.id, office.read(each.id).entries) for each in wanted]


def known_site(office: Office, name: str) -> Site | None:
    """Return a site by its id, with the layout that its cases told; raise ``StoreError``."""
    if not (office.customer and is_site(name) and office.read(name).entries):
        return None
    return at_site.site_at(office.store, name, office.subject, office.knowledge.systems)
