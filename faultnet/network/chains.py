"""Chains of small tables: gates with many parents, divorced.

A gate over many variables is taken one variable at a time, each step a variable of
its own, so that no table grows with the number of parents.
"""

from collections.abc import Callable, Iterable, Sequence
from typing import TypeAlias

from faultnet.network.tables import Variable, tabulate

Event: TypeAlias = tuple[str, tuple[bool, ...]]
"""A variable and the states in which the event holds."""

NO_YES = ("no", "yes")
"""The states of a variable that says whether something holds."""


class Chains:
    """Variables in the making, parents before children."""

    def __init__(self) -> None:
        """Start without variables."""
        self.variables: dict[str, Variable] = {}

    def add(
        self,
        variable: str,
        states: tuple[str, ...],
        parents: Sequence[str],
        chances: Callable[[tuple[int, ...]], Sequence[float]],
    ) -> None:
        """Add a variable; ``chances`` is called with the parents' state indices.

        Raises ``ValueError`` where the variable is there already.
        """
        if variable in self.variables:
            raise ValueError(f"{variable} stands twice in the network")
        known = [self.variables[parent] for parent in parents]
        self.variables[variable] = tabulate(variable, states, known, chances)

    def fold(
        self,
        variable: str,
        events: Sequence[Event],
        joined: Callable[[Iterable[bool]], bool],
        states: tuple[str, str] = NO_YES,
    ) -> None:
        """Add a variable that says whether all or any of some events hold."""
        before: list[Event] = list(events[:1])
        for k in range(1, len(events) - 1):
            step = f"{variable}-{k}"
            self._joined(step, [*before, events[k]], joined, states)
            before = [(step, (False, True))]
        self._joined(variable, [*before, *events[1:][-1:]], joined, states)

    def all_of(self, variable: str, events: Sequence[Event]) -> list[Event]:
        """Return at most one event that holds when all of these do; none says always.

        Where it takes a variable of its own, that one is added.
        """
        if len(events) < 2:
            return list(events)
        self.fold(variable, events, all)
        return [(variable, (False, True))]

    def reach(
        self,
        variable: str,
        states: tuple[str, ...],
        before: str | None,
        events: Sequence[Event],
        levels: Sequence[float],
    ) -> None:
        """Add the level reached once one more source is joined (noisy-MAX).

        While all events hold the source brings it to each abnormal level with the
        chance in ``levels``; ``before`` is the level that the others brought it to.
        """
        parents = [] if before is None else [before]

        def chances(pick: tuple[int, ...]) -> list[float]:
            start = pick[0] if parents else 0
            row = [0.0] * len(states)
            shown = all(held(events, pick[len(parents) :]))
            for level, chance in enumerate((1.0 - sum(levels), *levels) if shown else (1.0,)):
                row[max(start, level)] += chance
            return row

        self.add(variable, states, [*parents, *(parent for parent, _ in events)], chances)

    def _joined(
        self,
        variable: str,
        events: Sequence[Event],
        joined: Callable[[Iterable[bool]], bool],
        states: tuple[str, str],
    ) -> None:
        def chances(pick: tuple[int, ...]) -> tuple[float, float]:
            holds = joined(held(events, pick))
            return (float(not holds), float(holds))

        self.add(variable, states, [parent for parent, _ in events], chances)


def held(events: Sequence[Event], pick: Sequence[int]) -> tuple[bool, ...]:
    """Return which of the events hold, each variable being in the state picked."""
    return tuple(states[k] for (_, states), k in zip(events, pick, strict=True))
