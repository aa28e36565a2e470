"""The words of likelihood with their numbers, and the sources of numbers."""

import msgspec

from faultnet.model.finding import Trust
from faultnet.model.origin import Number, Origin

ORIGINS = ("judgement", "practice", "memory")
"""Provenance that is not a publication."""


class Words(msgspec.Struct, frozen=True):
    """One number for each word, and the numbers that hold where nothing nearer does."""

    likelihood: dict[str, Number]
    how_common: dict[str, Number]
    trust: dict[str, Trust]
    repair_succeeds: Number
    look_false_alarm: Number


class Source(msgspec.Struct, frozen=True):
    """A publication, and how much of it was read."""

    id: str
    title: str
    read: str
    origin: Origin
    published_as: str = ""
    gives: str = ""
