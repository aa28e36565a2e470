"""Rows: variations of one query that a single sweep answers side by side."""

from collections.abc import Collection, Hashable, Sequence
from functools import cached_property
from math import fsum
from typing import TypeVar

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.inference.draws import Draw
from faultnet.inference.leaves import Copy
from faultnet.network.network import Condition, Network

Array = npt.NDArray[np.float64]
Limits = tuple[tuple[int, int], ...]
Masks = tuple[tuple[int, tuple[bool, ...]], ...]
Key = TypeVar("Key", bound=Hashable)


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


class RowBatch(msgspec.Struct, eq=False, dict=True):
    """Rows turned into weights on causes, masks on roots and on draws."""

    size: int
    weights: Array
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
            self.weights[at],
            {c: [(when, f[at]) for when, f in kept] for c, kept in self.conditional.items()},
            {root: mask[at] for root, mask in self.root_masks.items()},
            {draw: mask[at] for draw, mask in self.draw_masks.items()},
            {cause: mended[at] for cause, mended in self.mended.items()},
            {cause: odds[at] for cause, odds in self.tipped.items()},
            None if self.scale is None else self.scale[at],
        )

    def with_causes(self, other: "RowBatch") -> "RowBatch":
        """The batch with the causes of another one, row by row, absent or mended as well."""
        return RowBatch(
            self.size,
            self.weights * other.weights,
            self.conditional,
            self.root_masks,
            self.draw_masks,
            self.mended | other.mended,
            self.tipped,
            self.scale,
        )

    @cached_property
    def _heard(self) -> list[bool]:
        """Whether any row weighs a cause, by cause."""
        heard: list[bool] = (self.weights != 1.0).any(axis=0).tolist()
        return heard

    def weight(self, copy: Copy, now: int, scope: "Scope") -> Array | None:
        """Weights of a copy by row and scope, shape (rows, *scope); None when all one."""
        if not copy.alive >> now & 1:
            return None
        conditional = self.conditional.get(copy.cause)
        if conditional is None and not self._heard[copy.cause]:
            return None
        plain = self.weights[:, copy.cause]
        if conditional is None:
            return plain.reshape(-1, *(1,) * len(scope.shape))
        result = np.multiply.outer(np.ones(scope.shape), plain)
        for condition, factor in conditional:
            shown = scope.indicator(condition)
            result *= 1.0 + np.multiply.outer(shown, factor - 1.0)
        return np.moveaxis(result, -1, 0)


class Scope:
    """Indicators of conditions over a few unknown roots."""

    def __init__(self, network: Network, roots: tuple[int, ...], known: dict[int, int]) -> None:
        """``roots`` are unknown and in order; ``known`` maps the others to states."""
        self.shape = tuple(len(network.roots[r].states) for r in roots)
        self.roots = roots
        self.known = known

    def indicator(self, condition: Condition) -> Array:
        """One where a condition holds, else zero; shape of the scope."""
        array = np.ones(self.shape)
        for root, allowed in condition:
            if root in self.known:
                array = array * float(allowed[self.known[root]])
                continue
            place = self.roots.index(root)
            shape = [1] * len(self.shape)
            shape[place] = len(allowed)
            array = array * np.array(allowed, dtype=float).reshape(shape)
        return array


class RowMaker:
    """Turns rows into a batch for one query."""

    def __init__(
        self, network: Network, draws: list[Draw], now: int, known: dict[int, int]
    ) -> None:
        """Index the links of findings and the draws of the open round."""
        self.network = network
        self.known = known
        self.now = now
        self.draws = draws
        self.tracked = {d.finding: i for i, d in enumerate(draws) if now in d.tracked}
        self.silent = {d.finding for d in draws if now in d.silent}
        self._kept: dict[tuple[int, int], tuple[Array, list[tuple[int, Condition, float]]]] = {}

    def batch(self, rows: Sequence[Row]) -> RowBatch:
        """Return the rows as one batch; what many rows share is worked out once."""
        patterns, place = _distinct([(row.limits, row.roots, row.tip) for row in rows])
        sets, other = _distinct([(row.absent, row.mended) for row in rows])
        return self.crossed(
            [Row(*pattern) for pattern in patterns],
            [Row(absent=absent, mended=mended) for absent, mended in sets],
            list(zip(place, other, strict=True)),
        )

    def crossed(
        self, rows: Sequence[Row], others: Sequence[Row], pairs: Sequence[tuple[int, int]]
    ) -> RowBatch:
        """Return one row for each pair of places: a row with the causes of another one.

        Of the ``others`` only which causes are absent or mended counts; of the ``rows``
        all but that.
        """
        place, other = [a for a, _ in pairs], [b for _, b in pairs]
        result = self._patterns(rows).spread(place)
        if not any(row.absent or row.mended for row in others):
            return result
        absent = 1.0 - self._causes([row.absent for row in others])
        late = self._causes([row.mended for row in others]).T
        mended = {int(c): late[c] for c in np.flatnonzero(late.any(axis=1))}
        return result.with_causes(RowBatch(len(others), absent, mended=mended).spread(other))

    def _patterns(self, rows: Sequence[Row]) -> RowBatch:
        """The batch of rows, whichever causes are absent or mended in them."""
        result = RowBatch(len(rows), np.ones((len(rows), len(self.network.causes))))
        scale = np.ones(len(rows))
        for b, row in enumerate(rows):
            for root, allowed in row.roots:
                self._root_mask(result, b, root, allowed)
            for finding, level in row.limits:
                scale[b] *= self._limit(result, b, finding, level)
            if row.tip is not None:
                scale[b] *= row.tip.scale
                for cause, factor in row.tip.odds:
                    odds = result.tipped.setdefault(cause, np.ones(len(rows)))
                    odds[b] = factor
        if (scale != 1.0).any():
            result.scale = scale
        return result

    def _causes(self, sets: Sequence[Collection[int]]) -> Array:
        """One where a set (row) holds a cause (column)."""
        result = np.zeros((len(sets), len(self.network.causes)))
        for k, causes in enumerate(sets):
            result[k, list(causes)] = 1.0
        return result

    def _root_mask(self, batch: RowBatch, b: int, root: int, allowed: tuple[bool, ...]) -> None:
        mask = batch.root_masks.setdefault(root, np.ones((batch.size, len(allowed))))
        mask[b] *= np.array(allowed, dtype=float)

    def _limit(self, batch: RowBatch, b: int, finding: int, level: int) -> float:
        """Apply a limit; return the factor on the whole row."""
        if finding in self.silent:
            return 1.0
        draw = self.tracked.get(finding)
        if draw is not None:
            self._draw_mask(batch, b, draw, level)
            return 1.0
        quiet, conditional = self._quiet(finding, level)
        batch.weights[b] *= quiet
        for cause, condition, factor in conditional:
            entries = batch.conditional.setdefault(cause, [])
            known = next((f for c, f in entries if c == condition), None)
            if known is None:
                known = np.ones(batch.size)
                entries.append((condition, known))
            known[b] *= factor
        return 1.0 - fsum(self.network.findings[finding].leak[level:])

    def _quiet(self, finding: int, level: int) -> tuple[Array, list[tuple[int, Condition, float]]]:
        """Chances by cause of staying at or under a level, and those that hang on roots."""
        kept = self._kept.get((finding, level))
        if kept is not None:
            return kept
        entry = self.network.findings[finding]
        plain = np.ones(len(self.network.causes))
        conditional = []
        for link in entry.links:
            quiet = 1.0 - fsum(link.levels[level:])
            condition = self._unknown(link.when + entry.when)
            if condition:
                conditional.append((link.source, condition, quiet))
            elif condition is not None:
                plain[link.source] *= quiet
        self._kept[finding, level] = plain, conditional
        return plain, conditional

    def _unknown(self, condition: Condition) -> Condition | None:
        """The unknown rest of a condition; None where it fails."""
        rest = []
        for root, allowed in condition:
            if root not in self.known:
                rest.append((root, allowed))
            elif not allowed[self.known[root]]:
                return None
        return tuple(rest)

    def _draw_mask(self, batch: RowBatch, b: int, draw: int, level: int) -> None:
        values = self.draws[draw].values
        mask = batch.draw_masks.setdefault(draw, np.ones((batch.size, len(values))))
        place = self.draws[draw].tracked.index(self.now)
        mask[b] *= np.array([0 <= v[place] <= level for v in values], dtype=float)


def _distinct(keys: Sequence[Key]) -> tuple[list[Key], list[int]]:
    """The different keys, and for each key given its place among them."""
    place = {key: k for k, key in enumerate(dict.fromkeys(keys))}
    return list(place), [place[key] for key in keys]
