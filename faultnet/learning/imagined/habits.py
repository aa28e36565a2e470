"""How people go about imagined cases, and what of it they write down."""

import msgspec

from faultnet.advice.imagined import Manner


class Habits(msgspec.Struct, frozen=True):
    """The habits of an imagined firm; all of them are judgement.

    ``sheet``: all complaints that a caller can tell are gone through with every caller, so
    that which of them are answered says nothing about what is wrong; ``manner`` then names no
    complaints of its own. Without it, and with ``advice.imagined.USUAL``, complaints are told
    because they are there, as in life, and what nobody spoke of is not missing at random.

    A visit has at most ``rounds`` rounds of at most ``checks`` checks each; what is believed
    with ``sure`` is mended, ``by_phone`` of what the caller can mend is tried on the phone.
    ``names`` is the chance that a cause that was mended is noted, ``by_caller`` on the phone;
    ``by_specialist`` that what the specialist found is heard of; ``silent`` that a whole case
    says nothing of causes. ``forgets`` is the chance that an answer was not known, ``seen``
    that a fact of the layout is noted at the site, ``proves`` that the proof is noted,
    ``left`` that the customer declined, or was not there. ``spread`` is the standard
    deviation of the logarithm of the minutes of one step, ``timed`` the chance that they are
    noted, ``second_trip`` that a repair takes one.
    """

    manner: Manner = Manner(complaints=0)
    sheet: bool = True
    rounds: int = 4
    checks: int = 6
    sure: float = 0.75
    by_phone: float = 0.8
    names: float = 0.9
    by_caller: float = 0.4
    by_specialist: float = 0.7
    silent: float = 0.1
    forgets: float = 0.02
    seen: float = 0.9
    proves: float = 0.85
    left: float = 0.02
    spread: float = 0.4
    timed: float = 0.7
    second_trip: float = 0.08
    years: int = 3
    begins: str = "2023-01-01"
