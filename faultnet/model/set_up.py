"""Set-ups: states of the site that checks and repairs share."""

import msgspec

from faultnet.model.origin import Number, Origin


class SetUp(msgspec.Struct, frozen=True):
    """A state of the site with the minutes to make and to undo it.

    ``hands`` is how many people it takes; ``procedures`` are those it can be made by.
    """

    id: str
    title: str
    part: str
    make: Number
    undo: Number
    who: str
    hands: Number
    origin: Origin
    requires: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    procedures: tuple[str, ...] = ()
    note: str = ""
