"""Systems: kinds of installation, built from parts."""

import msgspec

from faultnet.model.cause import Shows
from faultnet.model.origin import Number, Origin


class Specialist(msgspec.Struct, frozen=True):
    """Who always gets it working, and the minutes that this costs."""

    title: str
    minutes: Number


class Unlisted(msgspec.Struct, frozen=True):
    """Whatever is wrong and stands in no file."""

    how_common: Number
    shows: tuple[Shows, ...]


class System(msgspec.Struct, frozen=True):
    """A kind of installation.

    ``layout`` maps a layout to the prior of each value it can have here;
    ``faults`` is ``several`` or ``one``.
    """

    id: str
    title: str
    parts: tuple[str, ...]
    layout: dict[str, dict[str, Number]]
    circumstances: dict[str, Number]
    specialist: Specialist
    unlisted: Unlisted
    origin: Origin
    faults: str = "several"
    about: str = ""
