"""How people go about imagined cases, and what of it they write down."""

import msgspec

from faultnet.advice.imagined import Manner


class Habits(msgspec.Struct, frozen=True):
    """The habits of an imagined firm; all of them are judgement.

    Whoever takes the call asks the caller ``questions`` questions about complaints, and up to
    ``more`` until something is wrong by what the caller says; each chosen by what was said so
    far, or with the chance ``at_random`` any. Complaints that callers bring up themselves
    (``manner.complaints``) are told because they are there; what they did not speak of is
    then not missing at random, and learning would be misled. So there are none, if not asked
    for.

    A visit has at most ``rounds`` rounds of at most ``checks`` checks each; what is believed
    with ``sure`` is mended, ``by_phone`` of what the caller can mend is tried on the phone.

    ``names`` is the chance that a cause is noted that was there when it was mended,
    ``by_caller`` that it is heard of where all ended on the phone, ``by_specialist`` that
    what the specialist found is; ``silent`` that a whole case says nothing of causes.
    ``forgets`` is the chance that an answer was not known, ``seen`` that a fact of the
    layout, or what happened just before, is noted at the site, ``proves`` that the proof is,
    ``left`` that the customer declined, or was not there. ``spread`` is the standard
    deviation of the logarithm of the minutes of one step, ``timed`` the chance that they are
    noted, ``second_trip`` that a repair takes one.
    """

    manner: Manner = Manner(complaints=0, questions=0, knows=0.9)
    questions: int = 3
    more: int = 4
    at_random: float = 0.2
    rounds: int = 2
    checks: int = 3
    sure: float = 0.75
    by_phone: float = 0.8
    names: float = 0.95
    by_caller: float = 0.4
    by_specialist: float = 0.7
    silent: float = 0.1
    forgets: float = 0.02
    seen: float = 0.95
    proves: float = 0.85
    left: float = 0.02
    spread: float = 0.4
    timed: float = 0.7
    second_trip: float = 0.08
    years: int = 3
    begins: str = "2023-01-01"
