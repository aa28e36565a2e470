"""The knowledge as it is in one region: numbers that the region's file says otherwise."""

import hashlib
import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import TypeVar

import msgspec

from faultnet.model.check import Check
from faultnet.model.knowledge import Knowledge
from faultnet.model.origin import Number
from faultnet.model.region import Region
from faultnet.model.repair import Repair
from faultnet.model.system import System

VARIABLE = "FAULTNET_REGION"
"""The setting that names the region; without it what all share stands."""

W = TypeVar("W", Check, Repair)


class UnknownRegionError(Exception):
    """The knowledge has no file of such a region; ``hint`` says what may have been meant."""

    def __init__(self, name: str, known: Mapping[str, Region]) -> None:
        from faultnet.authoring.nearest import did_you_mean

        self.name = name
        self.hint = did_you_mean(name, known) or "A region is a file regions/NAME.yaml."
        super().__init__(f"There is no region `{name[:60]}` in the knowledge files.")


@contextmanager
def setting(name: str) -> Iterator[None]:
    """Set the region for a while, for this process and those that it starts."""
    before = os.environ.get(VARIABLE)
    os.environ[VARIABLE] = name
    try:
        yield
    finally:
        del os.environ[VARIABLE]
        if before is not None:
            os.environ[VARIABLE] = before


def in_chosen_region(knowledge: Knowledge) -> Knowledge:
    """Return the knowledge of the region that is set; as it is where none is.

    Raises ``UnknownRegionError``.
    """
    name = os.environ.get(VARIABLE, "")
    return in_region(knowledge, name) if name else knowledge


def in_region(knowledge: Knowledge, name: str) -> Knowledge:
    """Return the knowledge with the numbers of a region, under a version of its own.

    Raises ``UnknownRegionError``.
    """
    region = knowledge.regions.get(name)
    if region is None:
        raise UnknownRegionError(name, knowledge.regions)
    version = hashlib.sha256(f"{knowledge.version}\0{name}".encode()).hexdigest()
    return msgspec.structs.replace(
        knowledge,
        version=version,
        region=name,
        causes={
            cause: msgspec.structs.replace(each, how_common=region.how_common[cause])
            if cause in region.how_common
            else each
            for cause, each in knowledge.causes.items()
        },
        checks=_timed(knowledge.checks, region.minutes),
        repairs=_timed(knowledge.repairs, region.minutes),
        systems={
            system: _placed(knowledge, each, region) for system, each in knowledge.systems.items()
        },
        circumstances={
            circumstance: msgspec.structs.replace(each, prior=region.circumstances[circumstance])
            if circumstance in region.circumstances
            else each
            for circumstance, each in knowledge.circumstances.items()
        },
    )


def _timed(entries: Mapping[str, W], minutes: Mapping[str, Number]) -> dict[str, W]:
    return {
        name: msgspec.structs.replace(
            entry, work=msgspec.structs.replace(entry.work, minutes=minutes[name])
        )
        if name in minutes
        else entry
        for name, entry in entries.items()
    }


def _placed(knowledge: Knowledge, system: System, region: Region) -> System:
    """Return a system; a circumstance that it has a number of its own for keeps it."""
    usual = {
        name: region.circumstances[name]
        for name, number in system.circumstances.items()
        if name in region.circumstances and number == knowledge.circumstances[name].prior
    }
    if not usual:
        return system
    return msgspec.structs.replace(system, circumstances={**system.circumstances, **usual})
