"""Regions: numbers that are others for one part of the country, or for one firm."""

import msgspec

from faultnet.model.origin import Number, Origin


class Region(msgspec.Struct, frozen=True):
    """Numbers in place of those that all share: by cause, by check or repair, by circumstance.

    ``minutes`` are those of hands-on work. What a region does not name stands as it is.
    """

    id: str
    title: str
    origin: Origin
    about: str = ""
    how_common: dict[str, Number] = {}
    minutes: dict[str, Number] = {}
    circumstances: dict[str, Number] = {}
