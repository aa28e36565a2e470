"""The call that hands a case out to be taken along where there is no network."""

from typing import Annotated

import msgspec

from faultnet.cases.entry import Entry, Id, is_site
from faultnet.cases.order import order_of
from faultnet.cases.standing import standing_of
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
    faultnet.
    """

    log: str
    cursor: int
    unread: int
    entries: tuple[Entry, ...]
    site: str | None


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
    site = standing_of(order_of(whole.entries)).site or None
    return Along(asked.id, found.place, found.unread, found.entries, site)


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
