"""Where a case or a site stands, as far as it can be told without any knowledge files."""

import msgspec

from faultnet.cases import events as e
from faultnet.cases.counting import counting
from faultnet.cases.order import Order


class Standing(msgspec.Struct, frozen=True):
    """System, site and end of a case; system and name of a site; who wrote last.

    ``begun`` and ``touched`` are the first and the last time by the authors' clocks.
    """

    system: str = ""
    knowledge: str = ""
    site: str = ""
    follows: tuple[str, ...] = ()
    name: str = ""
    begun: str = ""
    touched: str = ""
    last: str = ""
    ended: str = ""


def standing_of(order: Order) -> Standing:
    """Return where a log stands."""
    now = Standing()
    for place in counting(order):
        now = _after(order.entries[place].event, now)
    if not order.entries:
        return now
    times = [entry.at for entry in order.entries]
    last = order.entries[-1].author
    return msgspec.structs.replace(now, begun=min(times), touched=max(times), last=last)


def _after(event: e.Event, now: Standing) -> Standing:
    replace = msgspec.structs.replace
    match event:
        case e.Opened():
            follows = (*now.follows, event.follows) if event.follows else now.follows
            site, system = event.site or now.site, now.system or event.system
            knowledge = event.knowledge or now.knowledge
            now = replace(now, system=system, knowledge=knowledge, site=site, follows=follows)
        case e.AtSite(site):
            now = replace(now, site=site)
        case e.Follows(case):
            now = replace(now, follows=tuple(dict.fromkeys((*now.follows, case))))
        case e.Ended(how):
            now = replace(now, ended=how)
        case e.Reopened():
            now = replace(now, ended="")
        case e.SiteBegun(system):
            now = replace(now, system=now.system or system)
        case e.Named(name):
            now = replace(now, name=name or now.name)
    return now
