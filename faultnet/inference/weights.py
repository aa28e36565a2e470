"""P(evidence) under many likelihoods at once, by one pass to the root of each tree.

A row is a likelihood for each of some variables. Rows are the first axis of every array;
an array that no row has reached has one for all. Each message is scaled row by row.
"""

from collections.abc import Mapping, Sequence

import numpy as np

from faultnet.inference.families import Families
from faultnet.inference.tree_layout import Forest, Laid
from faultnet.network.tables import Array

ROW_CELLS = 2**21
"""Cells of a tree times rows that are worked through at a time."""


def weigh(
    families: Families,
    forest: Forest,
    states: dict[int, int],
    likelihoods: Mapping[int, Array],
    rows: int,
) -> Array:
    """Return P(observed states and row) of each row.

    ``likelihoods`` holds an array (rows or 1, states) for each variable without a state.
    """
    constant = 1.0
    for cut in forest.numbers:
        constant *= float(cut.taken(families.tables[cut.variable], states))
    total = np.full(rows, constant)
    for tree in forest.trees:
        cells = sum(laid.shared * laid.rest for laid in tree)
        step = max(1, ROW_CELLS // cells)
        for start in range(0, rows, step):
            part = {
                v: array[start : start + step] if len(array) > 1 else array
                for v, array in likelihoods.items()
            }
            total[start : start + step] *= np.exp(_collected(families, tree, states, part))
    return total


def _collected(
    families: Families,
    tree: Sequence[Laid],
    states: dict[int, int],
    likelihoods: Mapping[int, Array],
) -> Array:
    """Return the logarithms of P(evidence in a tree and row)."""
    arrays = [_array(families, laid, states, likelihoods) for laid in tree]
    weights = np.zeros(1)
    for k in range(len(tree) - 1, 0, -1):
        laid = tree[k]
        message = arrays[k].reshape(-1, laid.shared, laid.rest).sum(axis=2)
        scale = message.max(axis=1)
        message = message / (scale + (scale == 0.0))[:, None]
        with np.errstate(divide="ignore"):
            weights = weights + np.log(scale)
        arrays[laid.parent] = arrays[laid.parent] * message.reshape(-1, *laid.into)
    with np.errstate(divide="ignore"):
        return np.asarray(weights + np.log(arrays[0].reshape(len(arrays[0]), -1).sum(axis=1)))


def _array(
    families: Families, laid: Laid, states: dict[int, int], likelihoods: Mapping[int, Array]
) -> Array:
    assert laid.constant is not None
    array = laid.constant[None]
    for cut in laid.cuts:
        array = array * cut.taken(families.tables[cut.variable], states)
    for variable, shape in laid.soft:
        array = array * likelihoods[variable].reshape(-1, *shape)
    return array
