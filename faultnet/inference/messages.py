"""Messages through a clique tree, with many rows at once.

A row is a hypothetical on top of the evidence. Rows are the first axis of every array;
an array that no hypothetical has reached has one row for all. Numbers are only ever
multiplied, added and divided. Each message is scaled row by row, and the logarithm of
what was taken out is kept beside it.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from faultnet.inference.cliques import Clique
from faultnet.network.tables import Tables

Array = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Node:
    """A clique with its way to the parent.

    ``rest`` are the axes of its array that the parent does not have, ``parent_rest`` the
    other way about; ``shape`` and ``parent_shape`` fit what both have to either array.
    """

    variables: tuple[int, ...]
    parent: int
    rest: tuple[int, ...]
    shape: tuple[int, ...]
    parent_rest: tuple[int, ...]
    parent_shape: tuple[int, ...]


class Tree:
    """The tables of a network multiplied into the cliques of a tree, root first."""

    def __init__(self, tables: Tables, order: Sequence[tuple[Clique, int]]) -> None:
        """``order`` holds each clique with the place of its parent, from the root outward."""
        self.sizes = [len(variable.states) for variable in tables.variables]
        scopes = [tuple(sorted(clique)) for clique, _ in order]
        self.nodes = [self._node(s, scopes[p], p) for s, (_, p) in zip(scopes, order, strict=True)]
        self.products = [np.ones([self.sizes[v] for v in scope]) for scope in scopes]
        self.smallest_first = sorted(range(len(order)), key=lambda k: self.products[k].size)
        index = {variable.id: k for k, variable in enumerate(tables.variables)}
        for variable in tables.variables:
            family = [*(index[parent] for parent in variable.parents), index[variable.id]]
            self._multiply(family, variable.chances)
        self.home = {v: self._home([v]) for v in range(len(self.sizes))}

    def marginals(
        self, likelihoods: Mapping[int, Array], wanted: Iterable[int]
    ) -> tuple[Array, dict[int, Array]]:
        """Return the logarithm of P(evidence and row), and P(state | evidence and row).

        ``likelihoods`` holds an array (rows or 1, states) per variable. The results have
        the shapes (rows or 1) and, per variable wanted, (rows or 1, states). Where a row
        is impossible the logarithm is minus infinity and the states are all zero.
        """
        arrays = [table[np.newaxis] for table in self.products]
        for variable, likelihood in likelihoods.items():
            home = self.home[variable]
            size = self.sizes[variable]
            shape = [size if v == variable else 1 for v in self.nodes[home].variables]
            arrays[home] = arrays[home] * likelihood.reshape(-1, *shape)
        homes = {variable: self.home[variable] for variable in wanted}
        weights, messages = self._collect(arrays)
        self._distribute(arrays, messages, set(homes.values()))
        beliefs = {}
        for variable, home in homes.items():
            others = [k for k, v in enumerate(self.nodes[home].variables, 1) if v != variable]
            beliefs[variable] = _scaled(arrays[home].sum(axis=tuple(others)), np.sum)[0]
        return weights, beliefs

    def _collect(self, arrays: list[Array]) -> tuple[Array, list[Array]]:
        """Pass messages to the root, working each into its parent's array."""
        messages = list(arrays)
        weights = np.zeros(1)
        for k in range(len(self.nodes) - 1, 0, -1):
            node = self.nodes[k]
            message = arrays[k].sum(axis=node.rest).reshape(-1, *node.parent_shape)
            product, scale = _scaled(arrays[node.parent] * message, np.max)
            arrays[node.parent] = product
            messages[k] = message
            weights = weights + scale
        arrays[0], scale = _scaled(arrays[0], np.sum)
        return weights + scale, messages

    def _distribute(self, arrays: list[Array], messages: list[Array], wanted: set[int]) -> None:
        """Pass messages from the root as far as they are wanted."""
        for k in range(len(self.nodes) - 1, 0, -1):
            if k in wanted:
                wanted.add(self.nodes[k].parent)
        for k in sorted(wanted - {0}):
            node = self.nodes[k]
            both = arrays[node.parent].sum(axis=node.parent_rest, keepdims=True)
            message = np.divide(both, messages[k], out=np.zeros_like(both), where=both > 0.0)
            arrays[k] = _scaled(arrays[k] * message.reshape(-1, *node.shape), np.max)[0]

    def _node(self, scope: tuple[int, ...], other: tuple[int, ...], parent: int) -> Node:
        """Work out a clique's way to its parent; the root is its own."""
        return Node(
            scope,
            parent,
            tuple(k for k, v in enumerate(scope, 1) if v not in other),
            tuple(self.sizes[v] if v in other else 1 for v in scope),
            tuple(k for k, v in enumerate(other, 1) if v not in scope),
            tuple(self.sizes[v] if v in scope else 1 for v in other),
        )

    def _home(self, variables: Sequence[int]) -> int:
        """Return the smallest clique that has all of some variables."""
        wanted = set(variables)
        return next(k for k in self.smallest_first if wanted <= set(self.nodes[k].variables))

    def _multiply(self, family: Sequence[int], table: Array) -> None:
        """Multiply a table, one axis per variable in the order given, into a clique."""
        home = self._home(family)
        shape = [self.sizes[v] if v in family else 1 for v in self.nodes[home].variables]
        order: list[int] = sorted(range(len(family)), key=family.__getitem__)
        self.products[home] = self.products[home] * table.transpose(order).reshape(shape)


def _scaled(array: Array, measure: Callable[..., Array]) -> tuple[Array, Array]:
    """Divide each row by its sum or largest cell; return the logarithm of that as well.

    A row of zeros stays as it is.
    """
    scale = measure(array.reshape(len(array), -1), axis=1)
    divisor = np.where(scale > 0.0, scale, 1.0).reshape(-1, *(1,) * (array.ndim - 1))
    with np.errstate(divide="ignore"):
        return array / divisor, np.log(scale)
