"""Which right a place asks for; a place that is not named here asks for the most usual one."""

import re
from typing import Literal

from faultnet.accounts.role import Right
from faultnet.web.api.problem import PREFIX
from faultnet.web.safe.guard import HARMLESS

Needed = Right | Literal["nothing", "log-in"]
"""A right; nothing at all; or only that one is logged in."""

DOORS: tuple[tuple[str, Needed], ...] = (
    (r"/static/.*", "nothing"),
    (r"/login", "nothing"),
    (r"/logout", "log-in"),
    (r"/accounts", "accounts"),
    (r"/pocket/(app\.webmanifest|icons/[^/]+)", "nothing"),  # browsers ask for them as nobody
    (r"/pocket(/.*)?", "see"),
    (rf"{PREFIX}/(who|reached|systems(/[^/]+)?|advice|openapi\.json|problems/[^/]+)", "see"),
)
"""Places that ask for the same whether they are read or written to."""

ANONYMOUS: tuple[str, ...] = (
    r"/",
    r"/knowledge(/.*)?",
    r"/cases/[^/]+(/live)?",
    r"/cases/[^/]+/report\.[a-z]+",
    rf"{PREFIX}/cases(/[^/]+(/report)?)?",
    rf"{PREFIX}/events",
)
"""Places that show a case without its customer to those who may not see customers."""


def needed(method: str, path: str) -> Needed:
    """Return what a request asks for; whatever was forgotten here is closed, not open."""
    for place, right in DOORS:
        if re.fullmatch(place, path):
            return right
    if method not in HARMLESS:
        return "write"
    if any(re.fullmatch(place, path) for place in ANONYMOUS):
        return "see"
    return "customer"
