"""Draws: what one finding shows over the rounds that share one throw of its links.

A draw has raw states (the level its causes bring it to, per tracked round) and
values (what is seen after its gate). A fitful finding has a draw per round; others
have one for all rounds, unless a step of the work had them drawn anew.
"""

import msgspec

from faultnet.inference.observed import Observed
from faultnet.inference.status import OFF, TRACK, Statuses
from faultnet.network.network import Network

State = tuple[int, ...]
CANNOT = -1


class Draw(msgspec.Struct, eq=False):
    """One axis: the finding, the rounds it covers, tracked and silent rounds among them."""

    finding: int
    rounds: tuple[int, ...]
    tracked: tuple[int, ...]
    silent: frozenset[int]
    levels: int
    raw_wanted: bool = True
    raw: list[State] = []
    values: list[State] = []
    parents: list[int] = []
    children: list[int] = []

    @property
    def ground(self) -> State:
        """The raw state with nothing shown."""
        return (0,) * len(self.tracked)

    def element(self, alive: int, level: int) -> State:
        """What a source alive in the rounds of a bit mask brings the raw state to."""
        return tuple(level if alive >> r & 1 else 0 for r in self.tracked)

    def forbids(self, alive: int) -> bool:
        """Whether a source alive in these rounds must not show the finding."""
        return any(alive >> r & 1 for r in self.silent)

    def join(self, one: State, other: State) -> State:
        """The raw state of two sources together."""
        return tuple(map(max, one, other))

    def close_states(self, masks: set[int]) -> None:
        """Fill in every raw state that sources with these alive masks can bring about."""
        elements = {self.element(m, k) for m in masks for k in range(1, self.levels)}
        states = {self.ground}
        while True:
            grown = states | {self.join(s, e) for s in states for e in elements}
            if grown == states:
                break
            states = grown
        self.raw = sorted(states, key=lambda s: (sum(s), s))


def build_draws(network: Network, observed: Observed, statuses: Statuses) -> list[Draw]:
    """Return the draws of every finding with a status, parents before children."""
    draws: list[Draw] = []
    for index in sorted({finding for finding, _ in statuses.of}):
        finding = network.findings[index]
        for rounds in _rounds_of_draws(observed, index, fitful=finding.fitful):
            of = {r: statuses.of[index, r] for r in rounds if (index, r) in statuses.of}
            if not of:
                continue
            tracked = tuple(r for r in rounds if of.get(r) == TRACK)
            silent = frozenset(r for r in rounds if of.get(r) == OFF)
            draws.append(Draw(index, rounds, tracked, silent, len(finding.answers)))
    _connect(network, statuses, draws)
    return draws


def _rounds_of_draws(observed: Observed, finding: int, *, fitful: bool) -> list[tuple[int, ...]]:
    if fitful:
        return [(r,) for r in range(observed.rounds)]
    cuts = sorted({r for f, r in observed.redraws if f == finding} - {0})
    starts = [0, *cuts]
    ends = [*cuts, observed.rounds]
    return [tuple(range(a, b)) for a, b in zip(starts, ends, strict=True)]


def _connect(network: Network, statuses: Statuses, draws: list[Draw]) -> None:
    """Set the parents (draw indices) that each draw's gate reads, and the children."""
    at = {(d.finding, r): i for i, d in enumerate(draws) for r in d.tracked}
    for i, draw in enumerate(draws):
        finding = network.findings[draw.finding]
        parents: set[int] = set()
        for source in statuses.follows(finding):
            parents |= {at[source, r] for r in draw.rounds if (source, r) in at}
        for gate in (*finding.hidden_by, *finding.needs):
            parents |= {at[gate, r] for r in draw.tracked if (gate, r) in at}
        draw.parents = sorted(parents)
        for parent in draw.parents:
            draws[parent].children.append(i)
