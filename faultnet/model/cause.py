"""Causes: faults that can be present or absent, several at once."""

import msgspec

from faultnet.model.condition import When
from faultnet.model.origin import Number, Origin


class Shows(msgspec.Struct, frozen=True):
    """How often a cause, alone, produces a finding.

    ``strength`` holds one number per abnormal answer of the finding, in its order:
    the chance that the cause alone brings it to just that answer. The sum is at most 1.
    """

    finding: str
    strength: tuple[Number, ...]
    when: When
    origin: Origin


class Factor(msgspec.Struct, frozen=True):
    """A factor on the odds of a cause while a circumstance or layout value holds."""

    about: str
    value: str
    factor: Number


class LeadsTo(msgspec.Struct, frozen=True):
    """A cause brought along by another; no strength means advice only."""

    cause: str
    strength: Number | None
    origin: Origin


class Cause(msgspec.Struct, frozen=True):
    """A fault: how common it is per trouble call, what it shows and what mends it."""

    id: str
    title: str
    part: str
    how_common: Number
    shows: tuple[Shows, ...]
    repair: str
    origin: Origin
    only_when: When = {}
    likelier_when: tuple[Factor, ...] = ()
    leads_to: tuple[LeadsTo, ...] = ()
    audit: bool = False
    note: str = ""
    seen_in: tuple[str, ...] = ()
