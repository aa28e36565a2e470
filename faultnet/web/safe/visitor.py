"""Whoever a request comes from, and what they may do."""

from typing import Literal

import msgspec
from starlette.requests import Request

from faultnet.accounts import trail
from faultnet.accounts.role import Right, Role, may
from faultnet.accounts.secret import form_token
from faultnet.web.office import Office
from faultnet.web.thinking import Thinking


class Visitor(msgspec.Struct, frozen=True):
    """A person or a program that was let in.

    ``by`` is how: ``local`` is whoever sits at this machine while there are no accounts.
    ``secret`` is that of the session, or empty; ``token`` is the id of a program's token.
    """

    name: str
    role: Role
    by: Literal["local", "session", "token"]
    secret: str = ""
    token: str = ""

    def may(self, right: Right) -> bool:
        """Whether they have a right."""
        return may(self.role, right)

    @property
    def form_token(self) -> str:
        """What their forms carry, or nothing without a session."""
        return form_token(self.secret) if self.secret else ""


LOCAL = Visitor("page", "senior", "local")
"""Whoever sits at this machine while there are no accounts; they may do anything."""


def visitor_of(request: Request) -> Visitor:
    """Return who was let in with a request; to places open to all nobody is."""
    visitor: Visitor = request.state.visitor
    return visitor


def office_of(request: Request) -> Office:
    """Return the office as it is for whoever asks: with customers, or without."""
    office: Office = request.app.state.office
    return office if visitor_of(request).may("customer") else office.without_customers()


def thinking_of(request: Request) -> Thinking:
    """Return the threads for what takes long."""
    office: Office = request.app.state.office
    return office.thinking


def note(request: Request, deed: trail.Deed, about: str) -> None:
    """Note what a visitor did, once in a while where it is the same; raise ``StoreError``."""
    office: Office = request.app.state.office
    who = visitor_of(request).name
    office.note(who, deed, about, address=address_of(request))


def address_of(request: Request) -> str:
    """Return the address that a request comes from, or nothing."""
    return request.client.host if request.client else ""
