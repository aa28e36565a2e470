"""Messages through a clique tree: to the root, and back as far as they are wanted.

Numbers are only ever multiplied, added and divided. Messages are scaled where much
evidence has come together, and the logarithm of what was taken out is kept.
"""

from collections.abc import Collection, Mapping, Sequence
from math import inf, log

import numpy as np

from faultnet.inference.families import Families
from faultnet.inference.tree_layout import RARELY, Laid
from faultnet.network.tables import Array


class Calibrated:
    """One tree with evidence: ``weight`` is log P(evidence in it), minus infinity for none.

    ``cliques`` holds P(clique | evidence) as (shared, rest) arrays and ``seps`` the sum of
    each over its rest, a column, with ones for zeros so that it can be divided by; None
    where it was not wanted.
    """

    def __init__(
        self,
        families: Families,
        tree: Sequence[Laid],
        states: dict[int, int],
        likelihoods: Mapping[int, Array],
        wanted: Collection[int] | None = None,
    ) -> None:
        """Collect the evidence, and distribute it to the cliques wanted, all if None."""
        self.tree = tree
        self.weight = 0.0
        self.cliques: list[Array | None] = [None] * len(tree)
        self.seps: list[Array | None] = [None] * len(tree)
        arrays = [self._array(families, laid, states, likelihoods) for laid in tree]
        messages = self._collect(arrays)
        if self.weight > -inf:
            self._distribute(arrays, messages, wanted)

    def clique(self, place: int) -> Array:
        """P(clique | evidence), with an axis per variable."""
        array = self.cliques[place]
        assert array is not None
        return array.reshape(self.tree[place].shape)

    def _array(
        self, families: Families, laid: Laid, states: dict[int, int], known: Mapping[int, Array]
    ) -> Array:
        """The tables of a clique multiplied together, with its evidence; not to be changed."""
        array = laid.constant
        assert array is not None
        factors = [cut.taken(families.tables[cut.variable], states) for cut in laid.cuts]
        factors += [known[variable].reshape(shape) for variable, shape in laid.soft]
        for number, factor in enumerate(factors, 1):
            array = array * factor
            if number % RARELY == 0:
                top = float(array.max())
                array = array / (top or 1.0)
                self.weight += log(top or 1.0)
        return array

    def _collect(self, arrays: list[Array]) -> list[Array]:
        messages = list(arrays)
        for k in range(len(self.tree) - 1, 0, -1):
            laid = self.tree[k]
            message = messages[k] = arrays[k].reshape(laid.shared, laid.rest) @ laid.ones
            if laid.scaled:
                top = float(message.max())
                if top <= 0.0:
                    self.weight = -inf
                    return messages
                message = message / top
                self.weight += log(top)
            arrays[laid.parent] = arrays[laid.parent] * message.reshape(laid.into)
        total = float(arrays[0].sum())
        self.weight = self.weight + log(total) if total > 0.0 else -inf
        return messages

    def _distribute(
        self, arrays: list[Array], messages: list[Array], wanted: Collection[int] | None
    ) -> None:
        on_the_way = self._on_the_way(wanted)
        self.cliques[0] = (arrays[0] / arrays[0].sum()).reshape(1, -1)
        for k in on_the_way:
            laid = self.tree[k]
            above = self.clique(laid.parent)
            sep = np.add.reduce(above, axis=laid.out) if laid.out else above
            sep = sep.reshape(-1)
            message = messages[k]
            # Where the message is zero so is all that it is made of.
            share = sep / (message + (message == 0.0))
            self.cliques[k] = arrays[k].reshape(laid.shared, laid.rest) * share[:, None]
            self.seps[k] = (sep + (sep == 0.0))[:, None]

    def _on_the_way(self, wanted: Collection[int] | None) -> Sequence[int]:
        if wanted is None:
            return range(1, len(self.tree))
        found = set(wanted)
        for k in range(len(self.tree) - 1, 0, -1):
            if k in found:
                found.add(self.tree[k].parent)
        return sorted(found - {0})
