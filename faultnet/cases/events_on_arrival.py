"""Events of an arrival: the state as found, and what was tried before."""

from typing import Literal

from faultnet.cases.event import Event


class AsFound(Event, frozen=True, tag="as-found"):
    """How something was found on arrival: an answer, or a number in the unit of the look.

    Neither is there when it was not looked at.
    """

    look: str
    answer: str = ""
    value: float | None = None


class Tried(Event, frozen=True, tag="tried"):
    """What was tried before anybody came: a repair, or ``text``, and what became of it.

    ``outcome`` is ``nothing``, ``a-while`` (it helped for a while), ``worse`` or empty.
    """

    repair: str = ""
    text: str = ""
    outcome: Literal["", "nothing", "a-while", "worse"] = ""
