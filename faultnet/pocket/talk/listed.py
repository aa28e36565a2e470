"""`listed`: the cases on the phone, for the first screen."""

import msgspec

from faultnet.cases.order import order_of
from faultnet.cases.standing import standing_of
from faultnet.pocket.talk.carried import Carried
from faultnet.pocket.talk.logs import NONE, case_log, site_log
from faultnet.pocket.talk.trouble import Trouble, TroubleError


class LogAsked(msgspec.Struct, frozen=True):
    """A case with its site."""

    entries: msgspec.Raw
    site_entries: msgspec.Raw = NONE


class ListedAsked(msgspec.Struct, frozen=True):
    """The cases on the phone."""

    logs: tuple[LogAsked, ...]


class CaseListed(msgspec.Struct, frozen=True):
    """A case: ``title`` is that of its system, ``name`` that of its site.

    ``known`` is whether the knowledge here holds the system. Where none of it can be read there
    is only the ``trouble`` with it.
    """

    case: str = ""
    system: str = ""
    title: str = ""
    site: str = ""
    name: str = ""
    ended: str = ""
    begun: str = ""
    touched: str = ""
    known: bool = False
    trouble: Trouble | None = None


def listed(carried: Carried, asked: ListedAsked) -> tuple[CaseListed, ...]:
    """List cases as far as they can be read; nothing is thought about."""
    return tuple(_listed(carried, number, each) for number, each in enumerate(asked.logs))


def _listed(carried: Carried, number: int, log: LogAsked) -> CaseListed:
    place = f"$.logs[{number}]"
    try:
        entries = case_log(log.entries, f"{place}.entries").entries
        site = site_log(log.site_entries, f"{place}.site_entries").entries
    except TroubleError as error:
        return CaseListed(trouble=error.trouble)
    stands = standing_of(order_of(entries))
    system = carried.knowledge.systems.get(stands.system)
    return CaseListed(
        case=entries[0].log,
        system=stands.system,
        title=system.title if system else stands.system,
        site=stands.site,
        name=standing_of(order_of(site)).name,
        ended=stands.ended,
        begun=stands.begun,
        touched=stands.touched,
        known=system is not None,
    )
