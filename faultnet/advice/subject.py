"""A system made ready for advice: its knowledge, its network, and what stands where."""

from collections.abc import Callable, Hashable, Mapping
from functools import cached_property
from typing import Any, TypeVar

import msgspec

from faultnet.advice.possibilities import UnfitReadingError
from faultnet.advice.readings import outcomes
from faultnet.advice.recent import Recent
from faultnet.advice.weightiest import weightiest
from faultnet.authoring.store import cached
from faultnet.inference.observed import Observed
from faultnet.inference.query import Query
from faultnet.model.knowledge import Knowledge
from faultnet.model.system import System
from faultnet.network.alone import Alone
from faultnet.network.build import UNLISTED, build_network, causes_only, scaled
from faultnet.network.crossing import crossing
from faultnet.network.network import Network

T = TypeVar("T")

GROUNDS = 4
"""States of the evidence whose grounds are kept; some few serve one who answers."""
LEAST = 1e-3
"""Below this there is no factor s."""
SURE = 1e-14
"""The share to which the factor s is worked out."""
CELLS = 2**20
"""States of the layout that are laid out side by side; beyond them they are swept."""


class UnknownNameError(Exception):
    """A name that the knowledge does not hold, with what may have been meant."""

    def __init__(self, kind: str, name: str, known: list[str]) -> None:
        from faultnet.authoring.nearest import did_you_mean

        self.kind = kind
        self.name = name
        self.hint = did_you_mean(name, known)
        super().__init__(f"There is no {kind} `{name}`. {self.hint}".rstrip())


class Subject(msgspec.Struct, frozen=True, dict=True):
    """One system with its network; indices follow the network."""

    knowledge: Knowledge
    system: System
    network: Network

    @cached_property
    def recent(self) -> Recent:
        """The grounds that were stood on last."""
        return Recent(GROUNDS)

    def once(self, key: Hashable, make: Callable[[], T]) -> T:
        """Return what hangs on the system alone and was made under a key; made once."""
        if key not in self._made:
            self._made[key] = make()
        made: T = self._made[key]
        return made

    @cached_property
    def _made(self) -> dict[Hashable, Any]:
        return {}

    @cached_property
    def roots(self) -> dict[str, int]:
        """Root id to index."""
        return {r.id: k for k, r in enumerate(self.network.roots)}

    @cached_property
    def causes(self) -> dict[str, int]:
        """Cause id to index; the unlisted cause is among them."""
        return {c.id: k for k, c in enumerate(self.network.causes)}

    @cached_property
    def findings(self) -> dict[str, int]:
        """Finding id to index."""
        return {f.id: k for k, f in enumerate(self.network.findings)}

    @cached_property
    def mended_by(self) -> dict[str, tuple[int, ...]]:
        """Repair id to the causes that it mends in this system."""
        result: dict[str, tuple[int, ...]] = {}
        for cause, index in self.causes.items():
            if cause != UNLISTED:
                repair = self.knowledge.causes[cause].repair
                result[repair] = (*result.get(repair, ()), index)
        return result

    @cached_property
    def weightiest(self) -> tuple[str, ...]:
        """The layouts that can be one thing or another, the weightiest first."""
        return weightiest(self.network, self.system.layout)

    def readable(self, reading: str, parts: Mapping[str, float]) -> bool:
        """Whether numbers make a whole reading that says something here."""
        try:
            outcomes(self.knowledge.readings[reading], self.system, parts, {})
        except UnfitReadingError:
            return False
        return True

    def alike(self, one: str, other: str) -> bool:
        """Whether two causes are the same, or look alike."""
        groups = self.knowledge.look_alikes.values()
        return one == other or any(one in g.causes and other in g.causes for g in groups)

    def title(self, cause: str) -> str:
        """The title of a cause, the unlisted one included."""
        if cause == UNLISTED:
            return "Something not in these files"
        return self.knowledge.causes[cause].title


def make_subject(knowledge: Knowledge, system: str) -> Subject:
    """Return a system ready for advice; its network is kept between runs.

    Raises ``UnknownNameError``.
    """
    if system not in knowledge.systems:
        raise UnknownNameError("system", system, list(knowledge.systems))
    entry = knowledge.systems[system]
    network = cached(
        "network",
        f"{knowledge.version}\0{system}",
        Network,
        lambda: call_network(knowledge, entry),
        rooms=("model", "network", "inference"),
    )
    return Subject(knowledge, entry, network)


def call_network(knowledge: Knowledge, system: System) -> Network:
    """Return the network of a trouble call.

    Base probabilities are scaled by one factor s so that, once it is known that at
    least one cause is present, each is as common as authored: s = P(at least one).
    Where the authored numbers sum to less than one there is no such factor and they
    are taken as they stand.
    """
    network = build_network(knowledge, system)
    return scaled(network, scale(network, system))


def scale(network: Network, system: System) -> float:
    """Return the factor s of a network with base probabilities as authored."""
    if system.faults == "one":
        return 1.0
    some = some_cause(network, system)

    def excess(s: float) -> float:
        return some(s) / s - 1.0

    ends = excess(LEAST), excess(1.0)
    return crossing(excess, LEAST, 1.0, ends, SURE) if ends[0] > 0.0 >= ends[1] else 1.0


def some_cause(network: Network, system: System) -> Callable[[float], float]:
    """Return P(at least one cause) as a function of a factor on all base probabilities.

    No circumstance holds and nothing is brought along.
    """
    alone = Alone(network, system.circumstances)
    if alone.cells <= CELLS:
        chances = [cause.probability for cause in network.causes]
        return lambda s: alone.some([s * chance for chance in chances])
    bare = causes_only(network, system.circumstances)
    return lambda s: float(
        1.0 - Query(scaled(bare, s), Observed(), count_two=True).tally_weights()[0]
    )
