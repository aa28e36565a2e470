"""The closing sheet of a case: events of what is written down at the end, for the report."""

import datetime as dt
from typing import Literal, TypeAlias

from faultnet.cases.event import Event

Role: TypeAlias = Literal["customer", "technician"]
"""As whom somebody signs."""


class Fitted(Event, frozen=True, tag="fitted"):
    """A part was fitted: one of the files, or ``text`` in somebody's own words.

    ``number`` is how many; ``serial`` may hold several.
    """

    part: str = ""
    number: int = 1
    serial: str = ""
    text: str = ""


class Disinfected(Event, frozen=True, tag="disinfected"):
    """What was opened was disinfected; ``dose`` is a number with its unit, or how it was done.

    ``minutes`` is the time of contact, 0 where there is none; ``sampled`` says whether a
    water sample was taken.
    """

    product: str
    dose: str
    minutes: float = 0.0
    sampled: bool = False


class SafetyFinding(Event, frozen=True, tag="safety-finding"):
    """Something unsafe was found; ``declined`` where the customer does not want it mended."""

    text: str
    declined: bool = False


class Watch(Event, frozen=True, tag="watch"):
    """What the customer should keep an eye on."""

    text: str


class NextDue(Event, frozen=True, tag="next-due"):
    """What is to be done next, and on which day."""

    text: str
    date: dt.date


class Licence(Event, frozen=True, tag="licence"):
    """The licence number of its author."""

    licence: str


class Signed(Event, frozen=True, tag="signed"):
    """Somebody signed with their name, at the time of this entry."""

    name: str
    role: Role


OnSheet: TypeAlias = Fitted | Disinfected | SafetyFinding | Watch | NextDue | Licence | Signed
"""Any line of the sheet."""
