"""Brute force: every joint state of a small network, term by term.

Written from the semantics alone and sharing nothing with the engines but the types.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise, product

from faultnet.inference.observed import Observed
from faultnet.network.network import Condition, Finding, Network


@dataclass(frozen=True)
class Presence:
    """A copy of a cause and the rounds in which it is alive."""

    cause: int
    alive: frozenset[int]


@dataclass(frozen=True)
class World:
    """Root states, copies present, and the value of every finding in every round."""

    weight: float
    roots: tuple[int, ...]
    copies: tuple[Presence, ...]
    first: int
    values: tuple[tuple[int, ...], ...]

    def present(self, cause: int, round_: int) -> bool:
        return any(c.cause == cause and round_ in c.alive for c in self.copies)


@dataclass(frozen=True)
class Goal:
    """Findings that must not be shown in the open round by what a repair leaves.

    That is a cause that is there then and not ``mended``, or the leak of a finding that was
    not made safe. What shows beside these, or follows from another finding, may.
    """

    findings: frozenset[int]
    mended: frozenset[int]


def _allowed(condition: Condition, roots: tuple[int, ...]) -> bool:
    return all(allowed[roots[r]] for r, allowed in condition)


def worlds(network: Network, observed: Observed, goal: Goal | None = None) -> Iterator[World]:
    """Every joint state with its probability, before evidence on findings and roots.

    With a goal, those alone in which it is reached, whatever is seen.
    """
    for roots in product(*(range(len(r.states)) for r in network.roots)):
        prior = 1.0
        for root, state in zip(network.roots, roots, strict=True):
            prior *= root.prior[state]
        for weight, copies, first in _copies(network, observed, roots):
            if prior * weight == 0.0:
                continue
            for chance, values in _values(network, observed, goal, roots, copies, 0, ()):
                yield World(prior * weight * chance, roots, copies, first, values)


def _copies(network, observed, roots):
    options = []
    for index, cause in enumerate(network.causes):
        own = list(_own(network, observed, roots, index))
        options.append(own)
        assert cause.id
    for picks in product(*options):
        weight, copies, first = 1.0, (), 0
        for w, c, n in picks:
            weight *= w
            copies += c
            first += n
        if weight:
            yield weight, copies, first


def _own(network, observed, roots, index):
    """Ways of one cause: (weight, copies it makes, counted at the start)."""
    cause = network.causes[index]
    if _allowed(cause.when, roots):
        odds = cause.probability / (1 - cause.probability)
        for r, f in cause.factors:
            odds *= f[roots[r]]
        p = odds / (1 + odds)
    else:
        p = 0.0
    weights = network.faults == "one"
    if weights:
        p = cause.probability if _allowed(cause.when, roots) else 0.0
        for r, f in cause.factors:
            p *= f[roots[r]]
    absent = 1.0 if weights else 1 - p
    for w, copies in _tree(network, observed, roots, index, 0):
        yield p * w, copies, 1
    left = absent
    for b in sorted(observed.brought_in, key=lambda b: b.round):
        if b.cause == index:
            for w, copies in _tree(network, observed, roots, index, b.round + 1):
                yield left * b.probability * w, copies, 0
            left *= 1 - b.probability
    yield left, (), 0


def _tree(network, observed, roots, index, start):
    """A cause there from a round on, with what it brings along: (weight, copies)."""
    brings = () if network.faults == "one" else network.causes[index].brings
    for w, alive in _alive(observed, index, start):
        branches = []
        for bring in brings:
            possible = _allowed(network.causes[bring.cause].when, roots)
            chance = bring.probability if possible else 0.0
            branch = [(1 - chance, ())]
            if chance:
                branch += [
                    (chance * x, (Presence(bring.cause, later),))
                    for x, later in _alive(observed, bring.cause, start)
                ]
            branches.append(branch)
        for picks in product(*branches):
            weight, copies = w, (Presence(index, alive),)
            for x, c in picks:
                weight *= x
                copies += c
            yield weight, copies


def _alive(observed, cause, start):
    mends = sorted(m.round for m in observed.mends if m.cause == cause)
    chances = {m.round: m.succeeds for m in observed.mends if m.cause == cause}
    everything = frozenset(range(start, observed.rounds))
    ways = [(1.0, everything)]
    for r in mends:
        new = []
        for w, alive in ways:
            if max(alive, default=-1) <= r:
                new.append((w, alive))
                continue
            new.append((w * chances[r], frozenset(x for x in alive if x <= r)))
            new.append((w * (1 - chances[r]), alive))
        ways = new
    return [(w, a) for w, a in ways if w]


def _values(network, observed, goal, roots, copies, index, done):
    if index == len(network.findings):
        yield 1.0, done
        return
    finding = network.findings[index]
    for weight, raw in _raw(network, observed, goal, roots, copies, index, done):
        value = tuple(_seen(finding, raw[r], r, done) for r in range(observed.rounds))
        rest = (*done, value)
        for w, values in _values(network, observed, goal, roots, copies, index + 1, rest):
            yield weight * w, values


def _raw(network, observed, goal, roots, copies, index, done):
    finding = network.findings[index]
    if not _allowed(finding.when, roots):
        yield 1.0, (0,) * observed.rounds
        return
    ends = goal is not None and index in goal.findings
    everything = frozenset(range(observed.rounds))
    sources = [(finding.leak, everything, ends and index not in observed.made_safe)]
    for link in finding.links:
        if _allowed(link.when, roots):
            left = ends and link.source not in goal.mended
            sources += [(link.levels, c.alive, left) for c in copies if c.cause == link.source]
    for link in finding.follows:
        if _allowed(link.when, roots):
            shown = frozenset(r for r in range(observed.rounds) if done[link.source][r] > 0)
            sources.append((link.levels, shown, False))
    result = {(0,) * observed.rounds: 1.0}
    for levels, alive, must_end in sources:
        for group in _groups(observed, index, finding):
            rounds = alive & group
            result = _joined(result, levels, rounds, must_end and observed.now in rounds)
    yield from ((weight, state) for state, weight in result.items() if weight)


def _joined(result, levels, rounds, quiet):
    """Every state joined with what one source brings it to in some rounds, if anything."""
    new: dict[tuple[int, ...], float] = {}
    for state, weight in result.items():
        for level, chance in enumerate((1 - sum(levels), *(() if quiet else levels))):
            joined = tuple(max(x, level) if r in rounds else x for r, x in enumerate(state))
            new[joined] = new.get(joined, 0.0) + weight * chance
    return new


def _groups(observed, index, finding: Finding):
    if finding.fitful:
        return [{r} for r in range(observed.rounds)]
    cuts = sorted({0, observed.rounds, *(r for f, r in observed.redraws if f == index)})
    return [set(range(a, b)) for a, b in pairwise(cuts)]


def _seen(finding, level, round_, done):
    if any(done[g][round_] > 0 for g in finding.needs):
        return -1
    if any(done[g][round_] > 0 for g in finding.hidden_by):
        return 0
    return level


def likelihood(network: Network, observed: Observed, world: World) -> float:
    """P(evidence | world), with what is taken as known about the number of causes."""
    most = 1 if network.faults == "one" else world.first
    if network.faults != "any" and not 1 <= world.first <= most:
        return 0.0
    result = 1.0
    for root, chances in observed.roots.items():
        result *= chances[world.roots[root]]
    for (finding, round_), chances in observed.findings.items():
        result *= chances[world.values[finding][round_]]
    return result
