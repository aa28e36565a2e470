"""The licence number, and who signs."""

from typing import get_args

from faultnet.cases.events import Licence, Role, Signed
from faultnet.visit.sheet.page import Page, asking, in_words, one_line
from faultnet.visit.turn import BACK, Line, Reply, Turn

ROLES: tuple[Role, ...] = get_args(Role)
NAME = Line("say", "The name is noted with the time. The report keeps a line for the pen besides.")
LICENCE = in_words(
    "Your licence number", "licence", "As it stands on the licence", lambda _, text: Licence(text)
)


def offered(_: Page, __: str) -> Turn:
    """Return who can sign, and the licence."""
    replies = (
        Reply("1", "the customer signs", view="sheet:name:customer"),
        Reply("2", "the technician signs", view="sheet:name:technician"),
        Reply("3", "the licence number", view="sheet:licence"),
        BACK,
    )
    return Turn("sheet-list", "The sheet", "Licence and signatures", (NAME,), replies)


def name_asked(_: Page, role: str) -> Turn:
    """Return the turn that asks for the name of whoever signs."""
    return asking(f"The {_role(role)} signs", f"name:{role}", "Name", (NAME,))


def name_taken(_: Page, role: str, text: str) -> Signed:
    """Return the signature."""
    return Signed(one_line(text), _role(role))


def _role(text: str) -> Role:
    """Return a role; raise ``ValueError`` where it is none."""
    return ROLES[ROLES.index(text)]
