"""The call that hands a case out to be taken along where there is no network."""

from typing import Annotated

import msgspec

from faultnet.advice.subject import UnknownNameError
from faultnet.cases.entry import Entry, Id, is_site
from faultnet.cases.fold import fold
from faultnet.cases.order import order_of
from faultnet.cases.standing import standing_of
from faultnet.cases.store.store import Log
from faultnet.visit.unsettled import Unsettled, unsettled
from faultnet.web.api.call import JSON, Call
from faultnet.web.api.cases import FARTHEST, no_such_case
from faultnet.web.office import Office


class AlongAsked(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Which case, and the cursor after which its entries are wanted."""

    id: Id
    since: Annotated[int, msgspec.Meta(ge=0, le=FARTHEST)] = 0


class Along(msgspec.Struct, frozen=True):
    """Entries of a case in the order they were kept; ``cursor`` is where to go on from.

    ``site`` is the id of its site. ``unread`` counts entries that are damaged or of a newer
    faultnet. ``unsettled`` tells, in words, what people said or did without having seen each
    other's; it is empty where this server does not know the system.
    """

    log: str
    cursor: int
    unread: int
    entries: tuple[Entry, ...]
    site: str | None
    unsettled: tuple[Unsettled, ...]


def along(office: Office, asked: AlongAsked) -> Along:
    """Hand out a case to be taken along, or what is new in it since it was.

    It comes with all that tells of the customer, so it is for those who may see that, and
    the trail notes it. Ask for its site with GET /events; what was written meanwhile goes
    back with POST /events.
    """
    whole = office.read(asked.id)
    if is_site(asked.id) or not (whole.entries or whole.unread):
        raise no_such_case(asked.id)
    found = office.read(asked.id, asked.since) if asked.since else whole
    now = standing_of(order_of(whole.entries))
    return Along(
        asked.id,
        found.place,
        found.unread,
        found.entries,
        now.site or None,
        _unsettled(office, now.system, whole),
    )


def _unsettled(office: Office, system: str, whole: Log) -> tuple[Unsettled, ...]:
    try:
        subject = office.subject(system)
    except UnknownNameError:
        return ()
    return tuple(unsettled(subject, fold(subject, whole.entries)))


CALLS = (
    Call(
        "GET",
        "/cases/{id}/along",
        "along",
        AlongAsked,
        along,
        {JSON: Along},
        ("no-such-case", "store"),
    ),
)
