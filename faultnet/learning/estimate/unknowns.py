"""The numbers that are learnt: where each stands in the network, and what it is worth."""

from functools import cached_property
from math import expm1

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.advice.authored import Authored, authored
from faultnet.advice.subject import Subject
from faultnet.learning.estimate.counts import nobody_calls
from faultnet.learning.estimate.priors import Kinds, Priors
from faultnet.learning.estimate.slots import Array, Slots, levels_of_throws
from faultnet.learning.proposed import Kind
from faultnet.network.network import Network
from faultnet.network.places import Place

KIND_OF: dict[str, Kind] = {
    "cause": "how-common",
    "factor": "factor",
    "bring": "leads-to",
    "link": "strength",
    "rule": "strength",
    "leak": "leak",
    "layout": "layout",
    "circumstance": "circumstance",
}
"""The kind of number that stands at a kind of place."""
MOST = 0.99
"""No cause is taken to be there in more calls when it is said what its number is worth."""
THROWN = frozenset({"bring", "link", "rule", "leak"})
"""Places of throws."""


class Unknown(msgspec.Struct, frozen=True):
    """A number that is learnt, and how many cases it is worth as it is written."""

    authored: Authored
    kind: Kind
    worth: float

    @property
    def place(self) -> Place:
        """The first place of it in the network; they are all alike."""
        return self.authored.places[0]


class Unknowns(msgspec.Struct, frozen=True, dict=True):
    """What is learnt of a system. ``network`` is that of a call, as authored.

    Where exactly one cause is there, factors are taken as they stand, and the shares of what
    any cause depends on too.
    """

    subject: Subject
    kinds: Kinds
    priors: Priors

    @property
    def network(self) -> Network:
        """The network with its authored numbers."""
        return self.subject.network

    @cached_property
    def slots(self) -> Slots:
        """Where each chance has its place."""
        return Slots(self.network)

    @cached_property
    def all(self) -> tuple[Unknown, ...]:
        """The numbers, by where they stand in the files."""
        found = []
        for each in authored(self.subject):
            kind = KIND_OF[each.places[0].kind]
            if kind in self.kinds and all(self._learnable(p, each) for p in each.places):
                found.append(Unknown(each, kind, self.priors.worth(kind, each.number)))
        return tuple(found)

    def _learnable(self, place: Place, number: Authored) -> bool:
        """Whether a place can be learnt; a number that stands in several has to stand alone."""
        if place.kind in THROWN and len(number.places) > 1:
            return len(self._levels(place)) == 1
        if len(number.places) > 1:
            return False
        if self.network.faults == "one":
            tied = {root for roots in self.slots.roots_of for root in roots}
            return place.kind != "factor" and not (
                place.kind in {"layout", "circumstance"} and place.of in tied
            )
        return True

    def _levels(self, place: Place) -> tuple[float, ...]:
        if place.kind == "bring":
            return (0.0,)
        finding = self.network.findings[place.of]
        if place.kind == "leak":
            return finding.leak
        links = finding.links if place.kind == "link" else finding.follows
        return links[place.at].levels

    @cached_property
    def of_row(self) -> npt.NDArray[np.intp]:
        """The unknown that each level of a throw is, or -1."""
        result = np.full(self.slots.rows, -1)
        for k, unknown in enumerate(self.all):
            for place in unknown.authored.places if unknown.place.kind in THROWN else ():
                result[self.slots.row(place)] = k
        return result

    @property
    def throws(self) -> bool:
        """Whether chances of throws are among them."""
        return bool(np.any(self.of_row >= 0))

    @cached_property
    def some(self) -> float:
        """P(at least one cause) as authored; one where that is not what is known of a call."""
        if self.network.faults != "several":
            return 1.0
        return -expm1(nobody_calls(self.slots, self.network).log)

    @cached_property
    def worths(self) -> Array:
        """What each is worth, in cases; how common a cause is, in calls with their sites.

        Calls tell of a cause by f (1 - f), their sites of what it is there by p (1 - p): so
        many sites are counted that they tell as much.
        """
        return np.array([self._worth(unknown) for unknown in self.all])

    def _worth(self, unknown: Unknown) -> float:
        if unknown.kind != "how-common" or self.network.faults == "one":
            return unknown.worth
        chance = self.network.causes[unknown.place.of].probability
        return unknown.worth * (1.0 - min(chance / self.some, MOST)) / (1.0 - chance)

    @cached_property
    def levels(self) -> Array:
        """The authored chances of all levels of all throws."""
        return levels_of_throws(self.network)

    @cached_property
    def beside(self) -> dict[int, tuple[int, ...]]:
        """The unknowns that share one whole: levels of a throw, states of a root."""
        wholes: dict[tuple[str, int, int], list[int]] = {}
        for k, unknown in enumerate(self.all):
            if unknown.kind not in {"how-common", "factor"}:
                place = unknown.place
                wholes.setdefault((place.kind, place.of, place.at), []).append(k)
        return {k: tuple(own) for own in wholes.values() for k in own}

    @cached_property
    def rests(self) -> frozenset[int]:
        """The unknowns that are what the others beside them leave of a whole."""
        return frozenset(
            self.beside[k][-1]
            for root, states in self.shares.items()
            for k in states.values()
            if len(states) == len(self.network.roots[root].states)
        )

    @cached_property
    def bases(self) -> dict[int, int]:
        """The unknown that says how common a cause is, by cause."""
        return {u.place.of: k for k, u in enumerate(self.all) if u.kind == "how-common"}

    @cached_property
    def factors(self) -> dict[int, list[int]]:
        """The factors on the odds of a cause, by cause."""
        found: dict[int, list[int]] = {}
        for k, unknown in enumerate(self.all):
            if unknown.kind == "factor":
                found.setdefault(unknown.place.of, []).append(k)
        return found

    @cached_property
    def shares(self) -> dict[int, dict[int, int]]:
        """The unknowns of each root, by its states; circumstances have theirs at yes."""
        found: dict[int, dict[int, int]] = {}
        for k, unknown in enumerate(self.all):
            if unknown.kind in {"layout", "circumstance"}:
                state = 1 if unknown.kind == "circumstance" else unknown.place.level
                found.setdefault(unknown.place.of, {})[state] = k
        return found
