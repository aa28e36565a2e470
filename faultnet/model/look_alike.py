"""Causes that no cheap finding can part."""

import msgspec

from faultnet.model.origin import Origin


class LookAlike(msgspec.Struct, frozen=True):
    """A group of causes and the check that parts them."""

    id: str
    part: str
    causes: tuple[str, ...]
    parted_by: str
    origin: Origin
    note: str = ""
