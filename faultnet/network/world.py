"""Imagined sites: what is at fault there, and what everything there would show.

A world is drawn by what the network says and by nothing else: roots by their priors, causes
by their probabilities once what is taken as known about their number holds, what they bring
along, and one throw for every link, rule and leak. A throw is made once for a site: a cause
that is left shows after a repair what it showed before. Only fitful findings are thrown anew.
"""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from math import prod

import msgspec
import numpy as np

from faultnet.network.network import (
    Finding,
    Levels,
    Network,
    cause_probability,
    cause_weight,
    holds,
)

CANNOT = -1
"""What a finding shows that cannot be taken."""
LEAK = -1
"""What stands for a leak among causes."""
THROWS = 500
"""Throws of a finding that was told of; what is rarer than that comes as it comes."""

States = dict[int, int]


class Throw(msgspec.Struct, frozen=True):
    """What a source brings a finding to while it is there.

    The source is a copy of a cause (its place among those of the world), the finding that it
    follows from, or else the leak.
    """

    level: int
    copy: int = -1
    follows: int = -1


class World(msgspec.Struct, frozen=True):
    """One site: the state of each root, the causes, and the throws of each finding.

    The first ``own`` causes came of themselves, the others were brought along. A cause that
    came in several ways is there several times.
    """

    roots: tuple[int, ...]
    causes: tuple[int, ...]
    own: int
    thrown: tuple[tuple[Throw, ...], ...]

    @property
    def present(self) -> frozenset[int]:
        """The causes that are there before any repair."""
        return frozenset(self.causes)


def draw_world(network: Network, rng: np.random.Generator) -> World:
    """Return a site of which nothing is known but that somebody called.

    Raises ``ValueError`` where the network has no cause that could be there.
    """
    states, own = _one(network, rng) if network.faults == "one" else _several(network, rng)
    causes = list(own)
    for cause in own if network.faults != "one" else ():
        for bring in network.causes[cause].brings:
            possible = holds(network.causes[bring.cause].when, states)
            if possible and rng.random() < bring.probability:
                causes.append(bring.cause)
    thrown = tuple(tuple(_throws(f, states, causes, rng)) for f in network.findings)
    return World(tuple(states.values()), tuple(causes), len(own), thrown)


def draw_like(
    network: Network,
    roots: Sequence[int],
    causes: Sequence[int],
    told: Mapping[int, Levels],
    rng: np.random.Generator,
) -> World:
    """Return a site with these roots and causes at which findings show what was told of them.

    ``told`` is P(this was said | each answer) by finding. Each finding is thrown until what
    it shows is taken by that chance, at most ``THROWS`` times, beside those before it: what
    was told of a later one does not weigh on an earlier one.
    """
    states = dict(enumerate(roots))
    world = World(tuple(roots), tuple(causes), len(causes), ())
    values: list[int] = []
    thrown = []
    for index, finding in enumerate(network.findings):
        likely = told.get(index)
        for _ in range(THROWS if likely else 1):
            throws = tuple(_throws(finding, states, world.causes, rng))
            value = _value(finding, throws, world, (), values)
            if likely is None or rng.random() * max(likely) < likely[value]:
                break
        thrown.append(throws)
        values.append(value)
    return msgspec.structs.replace(world, thrown=tuple(thrown))


def thrown_anew(network: Network, world: World, rng: np.random.Generator) -> World:
    """Return the site in the round after a repair: fitful findings are thrown anew."""
    states = dict(enumerate(world.roots))
    thrown = tuple(
        tuple(_throws(finding, states, world.causes, rng)) if finding.fitful else before
        for finding, before in zip(network.findings, world.thrown, strict=True)
    )
    return msgspec.structs.replace(world, thrown=thrown)


def brought_in(network: Network, world: World, cause: int, rng: np.random.Generator) -> World:
    """Return the site once work at it has brought in a cause, which shows what is thrown here."""
    states = dict(enumerate(world.roots))
    copy = len(world.causes)
    throw = _thrower(rng)
    thrown = []
    for finding, before in zip(network.findings, world.thrown, strict=True):
        links = finding.links if holds(finding.when, states) else ()
        new = [throw(k.levels) for k in links if k.source == cause and holds(k.when, states)]
        thrown.append((*before, *(Throw(level, copy=copy) for level in new if level)))
    return World(world.roots, (*world.causes, cause), world.own, tuple(thrown))


def makers(network: Network, world: World, finding: int, mended: Collection[int] = ()) -> set[int]:
    """Return the causes that bring a finding about, perhaps by way of others; LEAK for a leak."""
    values = shown(network, world, mended)
    found: set[int] = set()
    asked = [finding] if values[finding] > 0 else []
    while asked:
        for throw in world.thrown[asked.pop()]:
            if not _is_there(throw, world, mended, values):
                continue
            if throw.copy < 0 and throw.follows >= 0:
                asked.append(throw.follows)
            else:
                found.add(world.causes[throw.copy] if throw.copy >= 0 else LEAK)
    return found


def shown(network: Network, world: World, mended: Collection[int] = ()) -> tuple[int, ...]:
    """Return the answer of every finding, by its place, once some causes are mended."""
    values: list[int] = []
    for finding, throws in zip(network.findings, world.thrown, strict=True):
        values.append(_value(finding, throws, world, mended, values))
    return tuple(values)


def _value(
    finding: Finding,
    throws: Iterable[Throw],
    world: World,
    mended: Collection[int],
    values: Sequence[int],
) -> int:
    """What a finding shows, beside what those before it show."""
    if any(values[need] > 0 for need in finding.needs):
        return CANNOT
    if any(values[hider] > 0 for hider in finding.hidden_by):
        return 0
    there = (t.level for t in throws if _is_there(t, world, mended, values))
    return max(there, default=0)


def _is_there(throw: Throw, world: World, mended: Collection[int], values: Sequence[int]) -> bool:
    if throw.copy >= 0:
        return world.causes[throw.copy] not in mended
    return throw.follows < 0 or values[throw.follows] > 0


def _several(network: Network, rng: np.random.Generator) -> tuple[States, list[int]]:
    """Draw until there is a cause, where one is known to be there."""
    if network.faults == "several" and not any(c.probability > 0.0 for c in network.causes):
        raise ValueError(f"{network.id}: no cause could be there")
    while True:
        states = _states(network, rng)
        picks = rng.random(len(network.causes))
        chances = [cause_probability(cause, states) for cause in network.causes]
        own = [k for k, chance in enumerate(chances) if picks[k] < chance]
        if own or network.faults != "several":
            return states, own


def _one(network: Network, rng: np.random.Generator) -> tuple[States, list[int]]:
    """Draw roots by how much the causes weigh under them, then one cause by its weight."""
    most = sum(
        prod((max(factors) for _, factors in cause.factors), start=cause.probability)
        for cause in network.causes
    )
    if most <= 0.0:
        raise ValueError(f"{network.id}: no cause could be there")
    while True:
        states = _states(network, rng)
        weights = [cause_weight(cause, states) for cause in network.causes]
        pick = rng.random() * most
        if pick < sum(weights):
            return states, [_place(weights, pick)]


def _states(network: Network, rng: np.random.Generator) -> States:
    picks = rng.random(len(network.roots))
    return {k: _place(root.prior, picks[k]) for k, root in enumerate(network.roots)}


def _place(weights: Sequence[float], pick: float) -> int:
    """The place at which a sum of weights goes beyond a number; the last that weighs at all."""
    last = 0
    for place, weight in enumerate(weights):
        if weight > 0.0:
            last = place
            if pick < weight:
                return place
        pick -= weight
    return last


def _throws(
    finding: Finding, states: States, causes: Sequence[int], rng: np.random.Generator
) -> Iterator[Throw]:
    """Yield every throw that brings a finding to anything, whether or not it shows then."""
    if not holds(finding.when, states):
        return
    throw = _thrower(rng)
    if level := throw(finding.leak):
        yield Throw(level)
    for link in finding.links:
        if link.source in causes and holds(link.when, states):
            for copy, cause in enumerate(causes):
                if cause == link.source and (level := throw(link.levels)):
                    yield Throw(level, copy=copy)
    for rule in finding.follows:
        if holds(rule.when, states) and (level := throw(rule.levels)):
            yield Throw(level, follows=rule.source)


def _thrower(rng: np.random.Generator) -> Callable[[Levels], int]:
    def throw(levels: Levels) -> int:
        pick = rng.random()
        for level, chance in enumerate(levels, start=1):
            if pick < chance:
                return level
            pick -= chance
        return 0

    return throw
