"""Repairs: what removes causes."""

import msgspec

from faultnet.model.check import Work
from faultnet.model.origin import Number, Origin

DISINFECTION = ("none", "wipe", "full")


class Repair(msgspec.Struct, frozen=True):
    """A piece of work that mends every cause naming it, with its proof afterwards.

    ``succeeds`` is the chance that it mends; ``brings`` the chance of a new cause.
    ``or_replace`` is a larger repair that may be done instead and mends this one's causes too.
    """

    id: str
    title: str
    part: str
    work: Work
    succeeds: Number
    proof_minutes: Number
    origin: Origin
    brings: dict[str, Number] = {}
    parts: tuple[str, ...] = ()
    proof: str = ""
    disinfect: str = "none"
    or_replace: str = ""
    note: str = ""
