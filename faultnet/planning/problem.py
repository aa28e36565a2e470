"""A decision problem written out in full: worlds, checks, repairs, set-ups, a fall-back."""

from collections.abc import Mapping
from itertools import chain, combinations
from math import prod

import msgspec

World = frozenset[str]
"""The faults that are present together."""


class SetUp(msgspec.Struct, frozen=True):
    """A state of the site that steps share: what it costs to make and to undo."""

    id: str
    make: float
    undo: float = 0.0


class Check(msgspec.Struct, frozen=True):
    """Something that can be looked at once; it changes no fault.

    ``answers`` gives P(answer | world) in the order of ``Problem.worlds``, the world being
    the one at the time of looking. ``on`` and ``off`` are set-ups demanded made or not
    made; ``spoils`` names checks that cannot be done afterwards.
    """

    id: str
    cost: float
    answers: Mapping[str, tuple[float, ...]]
    on: tuple[str, ...] = ()
    off: tuple[str, ...] = ()
    spoils: tuple[str, ...] = ()


class Repair(msgspec.Struct, frozen=True):
    """Something that can be done once and may remove faults, its proof included in the cost.

    ``mends`` gives P(mended | present) of each fault, independent of one another.
    """

    id: str
    cost: float
    mends: Mapping[str, float]
    on: tuple[str, ...] = ()
    off: tuple[str, ...] = ()
    spoils: tuple[str, ...] = ()


class Problem(msgspec.Struct, frozen=True):
    """A trouble with its possible worlds, and all that can be done about it.

    The trouble is over when no fault is left; the proof after each repair says whether
    it is. ``fall_back`` is the price of what always ends it; set-ups are not needed for
    it. A set-up is paid for, undoing included, when it is made. A world that a repair
    can leave must be among the worlds, with probability 0 if it cannot be there at first.
    """

    worlds: Mapping[World, float]
    checks: tuple[Check, ...]
    repairs: tuple[Repair, ...]
    set_ups: tuple[SetUp, ...] = ()
    fall_back: float | None = None


def one_fault(chances: Mapping[str, float]) -> dict[World, float]:
    """Return the worlds in which exactly one fault is present."""
    return {frozenset({fault}): chance for fault, chance in chances.items()}


def several_faults(chances: Mapping[str, float]) -> dict[World, float]:
    """Return the worlds with at least one of some independent faults, given there is one."""
    sets = chain.from_iterable(combinations(chances, n) for n in range(1, len(chances) + 1))
    weights = {
        frozenset(present): prod(c if f in present else 1.0 - c for f, c in chances.items())
        for present in sets
    }
    total = sum(weights.values())
    return {world: weight / total for world, weight in weights.items()}
