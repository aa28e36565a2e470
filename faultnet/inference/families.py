"""The variables of a network of tables by number, each with its family."""

from collections.abc import Iterable, Sequence
from itertools import product
from math import prod

import numpy as np

from faultnet.network.tables import Array, Tables, Variable


class Families:
    """States, parents and table of every variable; a variable is its number here."""

    def __init__(self, tables: Tables) -> None:
        """Number the variables in their order: parents stand before children."""
        self.index: dict[str, int] = {}
        self.states: list[tuple[str, ...]] = []
        self.sizes: list[int] = []
        self.parents: list[tuple[int, ...]] = []
        self.tables: list[Array] = []
        self.joint: dict[tuple[int, ...], int] = {}
        for variable in tables.variables:
            self._add(variable)

    def numbers(self, names: Iterable[str]) -> list[int]:
        """Return variables by name; raise ``KeyError`` for one that is not there."""
        return [self.index[name] for name in names]

    def state(self, variable: int, state: str) -> int:
        """Return the number of a state; raise ``KeyError`` for one that is not there."""
        if state not in self.states[variable]:
            raise KeyError(state)
        return self.states[variable].index(state)

    def family(self, variable: int) -> tuple[int, ...]:
        """A variable after its parents: the axes of its table."""
        return (*self.parents[variable], variable)

    def with_ancestors(self, variables: Iterable[int]) -> set[int]:
        """Return variables with all that they depend on; the others are barren."""
        found = set(variables)
        waiting = list(found)
        while waiting:
            for parent in self.parents[waiting.pop()]:
                if parent not in found:
                    found.add(parent)
                    waiting.append(parent)
        return found

    def together(self, members: Sequence[int]) -> int:
        """Return the variable whose states are the joint states of some variables.

        It is a child of them with a table of zeros and ones, made when first asked for.
        """
        key = tuple(members)
        if key not in self.joint:
            own = tuple(dict.fromkeys(key))
            sizes = [len(self.states[v]) for v in key]
            count = prod(sizes)
            table = np.zeros([len(self.states[v]) for v in own] + [count])
            for number, states in enumerate(product(*map(range, sizes))):
                picked = dict(zip(key, states, strict=True))
                if all(picked[v] == s for v, s in zip(key, states, strict=True)):
                    table[(*(picked[v] for v in own), number)] = 1.0
            self.joint[key] = len(self.states)
            self.states.append(tuple(map(str, range(count))))
            self.sizes.append(count)
            self.parents.append(own)
            self.tables.append(table)
        return self.joint[key]

    def _add(self, variable: Variable) -> None:
        self.index[variable.id] = len(self.states)
        self.states.append(variable.states)
        self.sizes.append(len(variable.states))
        self.parents.append(tuple(self.index[parent] for parent in variable.parents))
        self.tables.append(variable.chances)
