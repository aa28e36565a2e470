"""A number that closed cases propose in place of an authored one."""

from typing import Literal

import msgspec

from faultnet.model.origin import Number

Kind = Literal[
    "how-common", "minutes", "factor", "strength", "leak", "leads-to", "layout", "circumstance"
]


class Interval(msgspec.Struct, frozen=True):
    """The range that a number lies in with a probability (``holds``)."""

    low: float
    high: float
    holds: float = 0.9


class Proposed(msgspec.Struct, frozen=True):
    """One number: as it is written, as the cases have it, and what speaks for that.

    ``of`` is the entry (cause, finding, check, repair or fact), ``about`` says in the words of
    the files what the number is about. ``value`` lies between the authored number, which is
    worth ``prior`` cases, and what the cases alone say (``alone``; None where they say
    nothing). ``speak_for`` and ``against`` count the cases, perhaps by halves where what was
    seen does not settle it; ``cases`` names some of those that were counted.
    """

    number: Number
    kind: Kind
    of: str
    about: str
    value: float
    interval: Interval
    prior: float
    alone: float | None = None
    speak_for: float = 0.0
    against: float = 0.0
    cases: tuple[str, ...] = ()
