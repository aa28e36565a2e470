"""Best-first search of plans between a lower and an upper bound.

Every position examined keeps what its cost is at least and, by a plan that can be carried
out, at most. Each walk goes down from the start by steps that look good and answers that
leave most in doubt, examines what it meets for the first time, and carries the bounds
back up. An AO* search in the sense of Martelli & Montanari 1973 (from memory), with both
bounds kept, so that it can be stopped at any time. One search serves all planners.
"""

from collections.abc import Hashable
from operator import attrgetter, itemgetter
from weakref import WeakValueDictionary

from faultnet.planning.position import Position, Step

CLOSED = 1e-12
"""Relative gap at which a position counts as solved: rounding, no more."""


class Option:
    """A step from a position and the nodes it leads to."""

    __slots__ = ("branches", "guess", "lower", "step", "upper", "uppers")

    def __init__(self, step: Step, branches: list[tuple[str, float, "Node | None"]]) -> None:
        self.step, self.branches = step, branches
        self.lower = self.upper = self.guess = step.price
        self.uppers = False

    def refresh(self, *, uppers: bool) -> None:
        """Work the bounds out anew from those of the nodes it leads to."""
        lower = upper = guess = self.step.price
        for _, chance, node in self.branches:
            if node is not None:
                lower += chance * node.lower
                if uppers:
                    upper += chance * node.upper
                    guess += chance * node.guess
        self.lower = lower
        self.uppers = uppers
        if uppers:
            self.upper, self.guess = upper, guess


class Node:
    """A position with its bounds; ``options`` once examined."""

    __slots__ = ("__weakref__", "_guess", "_upper", "best", "lower", "options", "position", "trust")

    def __init__(self, position: Position, trust: float) -> None:
        self.trust = trust
        self._guess: float | None = None
        self.position = position
        self.lower = position.lower()
        self._upper: float | None = None
        self.options: list[Option] | None = None
        self.best: Option | None = None
        """The first step of the best plan; none where that is the plan without checks."""

    @property
    def upper(self) -> float:
        """The cost of the best plan found from here."""
        if self._upper is None:
            self._upper = self.position.upper()
            self.lower = min(self.lower, self._upper)
        return self._upper

    @property
    def guess(self) -> float:
        """What the least expected cost is taken to be."""
        if self._guess is None:
            upper = self.upper
            self._guess = self.lower + self.trust * (upper - self.lower)
        return self._guess

    @property
    def gap(self) -> float:
        """What is not yet proved; nothing where only rounding is left."""
        gap = self.upper - self.lower
        return gap if gap > CLOSED * self.upper else 0.0

    def refresh(self) -> bool:
        """Work the bounds out anew, drop steps that cannot be best; tell if anything changed."""
        assert self.options is not None
        before = self.lower, self._upper
        lower = upper = guess = self.upper
        for option in self.options:
            option.refresh(uppers=option.uppers)
            if option.lower < upper:
                option.refresh(uppers=True)
                if option.upper < upper:
                    upper, self.best = option.upper, option
                guess = min(guess, option.guess)
            lower = min(lower, option.lower)
        self._upper = upper
        self.lower = max(self.lower, lower)
        self._guess = max(self.lower, guess)
        limit = upper * (1.0 - CLOSED)
        self.options = [o for o in self.options if o.lower < limit or o is self.best]
        return before != (self.lower, self._upper)


class Search:
    """The positions met from a start, with their bounds."""

    def __init__(self, start: Position, trust: float) -> None:
        self._nodes: WeakValueDictionary[Hashable, Node] = WeakValueDictionary()
        self.trust = trust
        self.root = self._node(start)
        self.repair_only = self.root.upper
        self.examined = 0
        self._examine(self.root)
        self.one_step = self.root.upper

    def walk(self) -> bool:
        """Go down to a position not yet examined, examine it, and carry the bounds back up.

        Tell whether that changed anything.
        """
        path, node = [], self.root
        while node.options is not None:
            path.append(node)
            found = self._doubtful(node)
            if found is None:
                break
            node = found
        new = node.options is None
        if new:
            self._examine(node)
        changed = [passed.refresh() for passed in reversed(path)]
        return new or any(changed)

    def _doubtful(self, node: Node) -> Node | None:
        """Return the step that looks best, of its answers the one that leaves most in doubt."""
        options = [o for o in node.options or () if o.upper - o.lower > CLOSED * o.upper]
        for option in sorted(options, key=attrgetter("guess")):
            nodes = [(chance * then.gap, then) for _, chance, then in option.branches if then]
            doubt, doubtful = max(nodes, key=itemgetter(0))
            if doubt > 0.0:  # else met in another way and closed since
                return doubtful
        return None

    def _node(self, position: Position) -> Node:
        node = self._nodes.get(position.key)
        if node is None:
            node = self._nodes[position.key] = Node(position, self.trust)
        return node

    def _examine(self, node: Node) -> None:
        position = node.position
        node.options = []
        for step in position.steps():
            branches = [
                (answer, chance, None if then is None else self._node(then))
                for answer, chance, then in position.after(step)
            ]
            option = Option(step, branches)
            option.refresh(uppers=False)
            node.options.append(option)
        node.options.sort(key=lambda option: option.lower)
        node.refresh()
        self.examined += 1
