"""Rows: variations of one query that a single sweep answers side by side."""

from collections.abc import Sequence
from typing import Any

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.inference.shifts import Weight
from faultnet.network.network import Condition

Array = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]
Limits = tuple[tuple[int, int], ...]
Masks = tuple[tuple[int, tuple[bool, ...]], ...]


class Row(msgspec.Struct, frozen=True):
    """What one row asks on top of the evidence, all in the open round.

    ``limits`` maps a finding to the highest raw level it may have; ``roots`` a root to
    the states allowed; ``absent`` causes are not there; ``mended`` causes are mended
    now and the findings that are to end must not come back from any other. ``tip``
    takes causes to have come of themselves with other chances than the network says.
    """

    limits: Limits = ()
    roots: Masks = ()
    tip: "Tip | None" = None
    absent: tuple[int, ...] = ()
    mended: frozenset[int] = frozenset()


class Tip(msgspec.Struct, frozen=True):
    """Other chances of some causes: the factor on the odds of each, and one on all.

    ``scale`` makes up for the weights of absence, which stay as they are.
    """

    odds: tuple[tuple[int, float], ...]
    scale: float


class RowBatch(msgspec.Struct, eq=False):
    """Rows turned into weights on causes, masks on roots and on draws; rows are the last axis.

    Causes, roots and draws that no row says anything about are left out.
    """

    size: int
    weights: dict[int, Array] = {}
    conditional: dict[int, list[tuple[Condition, Array]]] = {}
    root_masks: dict[int, Array] = {}
    draw_masks: dict[int, Array] = {}
    mended: dict[int, Array] = {}
    tipped: dict[int, Array] = {}
    scale: Array | None = None

    def spread(self, places: Sequence[int]) -> "RowBatch":
        """The batch whose rows are rows of this one, by place."""
        at = np.asarray(places, dtype=np.intp)
        return RowBatch(
            len(at),
            {cause: weight[at] for cause, weight in self.weights.items()},
            {c: [(when, f[at]) for when, f in kept] for c, kept in self.conditional.items()},
            {root: mask[:, at] for root, mask in self.root_masks.items()},
            {draw: mask[:, at] for draw, mask in self.draw_masks.items()},
            {cause: mended[at] for cause, mended in self.mended.items()},
            {cause: odds[at] for cause, odds in self.tipped.items()},
            None if self.scale is None else self.scale[at],
        )


class Factors:
    """The weights of rows: each a row of one batch with the causes of a row of another.

    ``place`` and ``other`` say which; without them the rows are those of the batch.
    """

    def __init__(
        self,
        rows: RowBatch,
        place: Sequence[int] | Places | None = None,
        sets: RowBatch | None = None,
        other: Sequence[int] = (),
    ) -> None:
        self.rows = rows
        self.sets = RowBatch(1) if sets is None else sets
        self.size = rows.size if place is None else len(place)
        alone = place is None or rows.size == 1
        self._place = None if alone else np.asarray(place, dtype=np.intp)
        self._other = None if self.sets.size == 1 else np.asarray(other, dtype=np.intp)
        self._causes: dict[int, Array | None] = {}
        self.shares: dict[int, Any] = {}

    def cause(self, cause: int) -> Array | None:
        """The weights of a cause that is there now; None where all are one."""
        if cause not in self._causes:
            one, other = self.rows.weights.get(cause), self.sets.weights.get(cause)
            if one is not None:
                one = self._of_rows(one)
            if other is not None:
                other = self._of_sets(other)
                one = other if one is None else one * other
            self._causes[cause] = one
        return self._causes[cause]

    def conditional(self, cause: int) -> list[tuple[Condition, Array]]:
        """Further weights of a cause that is there now, where a condition holds."""
        kept = self.rows.conditional.get(cause, ())
        return [(condition, self._of_rows(factor)) for condition, factor in kept]

    def mended(self, cause: int) -> Weight:
        """One where a cause is mended, else zero."""
        mended = self.sets.mended.get(cause)
        return 0.0 if mended is None else self._of_sets(mended)

    def tipped(self, cause: int) -> Weight:
        """The factor on the odds of a cause that came of itself."""
        odds = self.rows.tipped.get(cause)
        return 1.0 if odds is None else self._of_rows(odds)

    def root_mask(self, root: int) -> list[Array] | None:
        """By state of a root, one where it is allowed; None where all are."""
        mask = self.rows.root_masks.get(root)
        return None if mask is None else [self._of_rows(allowed) for allowed in mask]

    def draw_mask(self, draw: int) -> list[Array] | None:
        """By value of a draw, one where it is allowed; None where all are."""
        mask = self.rows.draw_masks.get(draw)
        return None if mask is None else [self._of_rows(allowed) for allowed in mask]

    @property
    def scale(self) -> Weight:
        """The factor on the whole row."""
        return 1.0 if self.rows.scale is None else self._of_rows(self.rows.scale)

    def _of_rows(self, values: Array) -> Array:
        return values if self._place is None else values[self._place]

    def _of_sets(self, values: Array) -> Array:
        return values if self._other is None else values[self._other]
