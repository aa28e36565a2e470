"""The call that tells who asks: what they may, and what their changes carry."""

import msgspec

from faultnet.accounts.role import MAY, Right, Role
from faultnet.web.api.call import JSON, Call
from faultnet.web.office import Office
from faultnet.web.safe.visitor import Visitor


class WhoAsked(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Nothing is asked but who asks."""


class Who(msgspec.Struct, frozen=True):
    """Whoever asks: their name, role and rights.

    A page that was logged in sends ``form_token`` along with each change, in the header
    X-Form-Token; it is null where none is needed.
    """

    name: str
    role: Role
    may: tuple[Right, ...]
    form_token: str | None


def who(_: Office, visitor: Visitor) -> Who:
    """Tell who asks and what they may.

    `form_token` is what a page of this server sends in the header X-Form-Token with each
    change, for as long as the log-in lasts; no page elsewhere can read it.
    """
    return Who(
        visitor.name, visitor.role, tuple(sorted(MAY[visitor.role])), visitor.form_token or None
    )


CALLS = (Call("GET", "/who", "who", WhoAsked, who, {JSON: Who}, of_visitor=True),)
