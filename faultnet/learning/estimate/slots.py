"""Where each chance of a network has its place among the counts of what cases show."""

from collections.abc import Iterable
from functools import cached_property
from itertools import pairwise

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.inference.gates import LEAK
from faultnet.network.network import Levels, Network, cause_probability, cause_roots, cause_weight
from faultnet.network.places import Place

Array = npt.NDArray[np.float64]
At = tuple[str, int, int]
"""What is thrown: ``link``, ``gate`` or ``bring``, the variable, and the place there."""


class Slots(msgspec.Struct, frozen=True, dict=True):
    """The chances of a network in one row of numbers; it is the same whatever they are.

    A *throw* is a link, leak, rule or bring, with a row for each of its levels. A cause has a
    cell for each joint state of the roots that it depends on, a root one for each state.
    """

    network: Network

    @cached_property
    def throws(self) -> dict[At, tuple[int, int]]:
        """Each throw with its own place and that of its first level."""
        found: dict[At, tuple[int, int]] = {}
        row = 0
        for at, levels in throws_of(self.network).items():
            found[at] = len(found), row
            row += len(levels)
        return found

    @cached_property
    def rows(self) -> int:
        """How many levels all throws have together."""
        return sum(map(len, throws_of(self.network).values()))

    @cached_property
    def throw_of(self) -> npt.NDArray[np.intp]:
        """The throw that each level belongs to."""
        counts = [len(levels) for levels in throws_of(self.network).values()]
        return np.repeat(np.arange(len(counts)), counts)

    @cached_property
    def roots_of(self) -> tuple[tuple[int, ...], ...]:
        """The roots that each cause depends on, in order."""
        return tuple(map(cause_roots, self.network.causes))

    @cached_property
    def shapes(self) -> tuple[tuple[int, ...], ...]:
        """The number of states of these roots."""
        return tuple(
            tuple(len(self.network.roots[r].states) for r in roots) for roots in self.roots_of
        )

    @cached_property
    def cells(self) -> tuple[slice, ...]:
        """Where the cells of each cause are."""
        return _slices([int(np.prod(shape)) for shape in self.shapes])

    @cached_property
    def states(self) -> tuple[slice, ...]:
        """Where the states of each root are."""
        return _slices([len(root.states) for root in self.network.roots])

    def row(self, place: Place) -> int:
        """Return the row of a level of a throw."""
        kind = {"leak": "gate", "rule": "gate"}.get(place.kind, place.kind)
        at = LEAK if place.kind == "leak" else place.at
        return self.throws[kind, place.of, at][1] + place.level

    def with_state(self, cause: int, root: int, state: int) -> npt.NDArray[np.bool_]:
        """Return which cells of a cause hold a state of one of its roots."""
        grid = np.indices(self.shapes[cause])[self.roots_of[cause].index(root)]
        return np.asarray(grid.ravel() == state)


def throws_of(network: Network) -> dict[At, Levels]:
    """Return the chances of every throw, in a fixed order."""
    found: dict[At, Levels] = {}
    for k, finding in enumerate(network.findings):
        found["gate", k, LEAK] = finding.leak
        found |= {("gate", k, at): rule.levels for at, rule in enumerate(finding.follows)}
        found |= {("link", k, at): link.levels for at, link in enumerate(finding.links)}
    for k, cause in enumerate(network.causes):
        found |= {("bring", k, at): (b.probability,) for at, b in enumerate(cause.brings)}
    return found


def levels_of_throws(network: Network) -> Array:
    """Return the chances of all levels of all throws, in their rows."""
    return np.array([x for levels in throws_of(network).values() for x in levels])


def by_cell(network: Network, slots: Slots, causes: Iterable[int]) -> Array:
    """Return the chance (with one fault: the weight) of causes in each of their cells."""
    of = cause_weight if network.faults == "one" else cause_probability
    found = []
    for k in causes:
        for states in np.ndindex(*slots.shapes[k]):
            chosen = dict(zip(slots.roots_of[k], states, strict=True))
            found.append(of(network.causes[k], chosen))
    return np.array(found)


def _slices(sizes: list[int]) -> tuple[slice, ...]:
    ends = np.cumsum([0, *sizes]).tolist()
    return tuple(slice(a, b) for a, b in pairwise(ends))
