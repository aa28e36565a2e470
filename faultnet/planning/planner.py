"""Three planners of one kind: one search, stopped early, in time, or when all is proved."""

from collections.abc import Hashable
from dataclasses import dataclass
from time import monotonic
from typing import Protocol

from faultnet.planning.plan import Branch, Made, Move, Plan, moved
from faultnet.planning.position import Position, Step
from faultnet.planning.search import Node, Search

HOPE = 0.0
"""Costs are taken to be the lower bound where everything is to be proved."""
TRUST = 0.4
"""Where between its bounds a cost is taken to lie where time is short; found by measuring."""
ENOUGH = 80
"""Positions that bring the excess below 1 % on average, 5 % at worst; found by measuring."""


class Planner(Protocol):
    """What makes plans."""

    def plan(self, position: Position) -> Plan:
        """Return a whole plan from a position."""

    def first(self, position: Position) -> Step:
        """Return the first step of the plan from a position."""


class TooLargeError(RuntimeError):
    """An exact plan that would take too long, with what is known of its size."""

    def __init__(self, most: int, lower: float, upper: float) -> None:
        self.most, self.lower, self.upper = most, lower, upper
        super().__init__(
            f"After {most} positions the least expected cost is known to lie between {lower:.6g} "
            f"and {upper:.6g}, no closer. Leave out checks that tell little or repairs that "
            "mend little, allow more positions, or ask for a deeper plan in place of an exact one."
        )


@dataclass(frozen=True)
class OneStep:
    """Each step is valued at its price and the best plan without checks after each answer."""

    def plan(self, position: Position) -> Plan:
        """Return the step that is best so valued, and the plans without checks after it."""
        return _plan("one-step", Search(position, HOPE))

    def first(self, position: Position) -> Step:
        """Return the step that is best so valued."""
        return _first(Search(position, HOPE).root)


@dataclass(frozen=True)
class Deeper:
    """Looks as far ahead as it is allowed to; never worse than one step.

    ``positions`` and ``seconds`` limit it, whichever comes first; ``ENOUGH`` positions where
    neither is given. With seconds alone what it finds depends on the machine.
    """

    positions: int | None = None
    seconds: float | None = None
    trust: float = TRUST

    def plan(self, position: Position) -> Plan:
        """Return the best plan found within the limits."""
        return _plan("deeper", self._search(position))

    def first(self, position: Position) -> Step:
        """Return the first step of the best plan found within the limits."""
        return _first(self._search(position).root)

    def _search(self, position: Position) -> Search:
        start = monotonic()
        search = Search(position, self.trust)
        while search.root.gap > 0.0 and self._may(search.examined, monotonic() - start):
            if not search.walk():
                break
        return search

    def _may(self, examined: int, seconds: float) -> bool:
        positions = ENOUGH if self.positions is self.seconds is None else self.positions
        return (positions is None or examined < positions) and (
            self.seconds is None or seconds < self.seconds
        )


@dataclass(frozen=True)
class Exact:
    """Goes on until no plan can be better; stops with ``TooLargeError`` beyond ``most``."""

    most: int = 100_000

    def plan(self, position: Position) -> Plan:
        """Return a plan of least expected cost; raises ``TooLargeError``."""
        return _plan("exact", self._search(position))

    def first(self, position: Position) -> Step:
        """Return the first step of such a plan; raises ``TooLargeError``."""
        return _first(self._search(position).root)

    def _search(self, position: Position) -> Search:
        search = Search(position.sharpened(), HOPE)
        root = search.root
        while root.gap > 0.0:
            if search.examined >= self.most:
                raise TooLargeError(search.examined, root.lower, root.upper)
            if not search.walk():
                break
        return search


def _first(node: Node) -> Step:
    if node.best is not None:
        return node.best.step
    return node.position.without_checks().step


def _plan(made: Made, search: Search) -> Plan:
    first = _Drawing().move(search.root)
    return Plan(
        made,
        first.expected,
        min(search.root.lower, first.expected),
        search.repair_only,
        search.one_step,
        search.examined,
        first,
    )


class _Drawing:
    """Makes the moves of a plan, one for each position."""

    def __init__(self) -> None:
        self._moves: dict[Hashable, Move] = {}

    def move(self, node: Node) -> Move:
        """Return the best move found at a node."""
        key = node.position.key
        move = self._moves.get(key)
        if move is None:
            move = self._moves[key] = self._made(node)
        return move

    def _made(self, node: Node) -> Move:
        if node.best is None:
            return node.position.without_checks()
        branches = tuple(
            Branch(answer, chance, None if then is None else self.move(then))
            for answer, chance, then in node.best.branches
        )
        return moved(node.best.step, branches)
