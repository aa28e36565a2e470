"""A network written out as tables, of whatever shape: variables, states, chances.

This is what an imported network is, and what the network of record is built of.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

ROUNDING = 1e-9
"""How far from one the chances of a variable may sum."""


@dataclass(frozen=True, eq=False)
class Variable:
    """One variable with its table.

    ``chances`` holds P(state | parents): an axis per parent, in their order, then one
    for the variable's own states.
    """

    id: str
    states: tuple[str, ...]
    parents: tuple[str, ...]
    chances: Array


@dataclass(frozen=True, eq=False)
class Tables:
    """A network of variables; parents stand before their children.

    Raises ``ValueError`` where they do not, where a table does not fit and where there
    is no variable at all.
    """

    id: str
    variables: tuple[Variable, ...]

    def __post_init__(self) -> None:
        """Check every variable against those before it."""
        if not self.variables:
            raise ValueError("the network has no variables")
        sizes: dict[str, int] = {}
        for variable in self.variables:
            _check(variable, sizes)
            sizes[variable.id] = len(variable.states)


def tabulate(
    variable: str,
    states: tuple[str, ...],
    parents: Sequence[Variable],
    chances: Callable[[tuple[int, ...]], Sequence[float]],
) -> Variable:
    """Return a variable whose chances are worked out per joint state of its parents."""
    shape = [len(parent.states) for parent in parents]
    table = np.array([chances(pick) for pick in product(*map(range, shape))], dtype=float)
    ids = tuple(parent.id for parent in parents)
    return Variable(variable, states, ids, table.reshape(*shape, len(states)))


def _check(variable: Variable, sizes: dict[str, int]) -> None:
    name = variable.id
    if name in sizes:
        raise ValueError(f"{name} stands twice in the network")
    if len(set(variable.states)) != len(variable.states) or not variable.states:
        raise ValueError(f"{name} needs states, each with a name of its own")
    late = [parent for parent in variable.parents if parent not in sizes]
    if late or len(set(variable.parents)) != len(variable.parents):
        raise ValueError(f"{name} needs its parents before it, each once: {variable.parents}")
    shape = (*(sizes[parent] for parent in variable.parents), len(variable.states))
    if variable.chances.shape != shape:
        raise ValueError(f"the table of {name} has shape {variable.chances.shape}, not {shape}")
    sums = variable.chances.sum(axis=-1)
    if not ((variable.chances >= 0.0).all() and (abs(sums - 1.0) <= ROUNDING).all()):
        raise ValueError(f"the chances of {name} are not all zero or more with the sum one")
