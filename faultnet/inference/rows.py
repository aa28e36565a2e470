"""Rows: variations of one query that a single sweep answers side by side."""

from collections.abc import Sequence
from dataclasses import dataclass, field

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.inference.draws import Draw
from faultnet.inference.leaves import Copy
from faultnet.network.network import Condition, Network

Array = npt.NDArray[np.float64]
Limits = tuple[tuple[int, int], ...]
Masks = tuple[tuple[int, tuple[bool, ...]], ...]


class Row(msgspec.Struct, frozen=True):
    """What one row asks on top of the evidence, all in the open round.

    ``limits`` maps a finding to the highest raw level it may have; ``roots`` a root to
    the states allowed; ``absent`` causes are not there; ``mended`` causes are mended
    now and the findings that are to end must not come back from any other.
    """

    limits: Limits = ()
    roots: Masks = ()
    absent: tuple[int, ...] = ()
    mended: frozenset[int] = frozenset()


@dataclass
class RowBatch:
    """Rows turned into weights on causes, masks on roots and on draws."""

    size: int
    weights: Array
    conditional: dict[int, list[tuple[Condition, Array]]] = field(default_factory=dict)
    root_masks: dict[int, Array] = field(default_factory=dict)
    draw_masks: dict[int, Array] = field(default_factory=dict)
    mended: dict[int, Array] = field(default_factory=dict)
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
            scale=None if self.scale is None else self.scale[at],
        )

    def weight(self, copy: Copy, now: int, scope: "Scope") -> Array | None:
        """Weights of a copy by row and scope, shape (rows, *scope); None when all one."""
        if not copy.alive >> now & 1:
            return None
        plain = self.weights[:, copy.cause]
        conditional = self.conditional.get(copy.cause)
        if conditional is None:
            return None if (plain == 1.0).all() else plain.reshape(-1, *(1,) * len(scope.shape))
        result = plain.reshape(-1, *(1,) * len(scope.shape)) * np.ones(scope.shape)
        for condition, factor in conditional:
            shown = scope.indicator(condition)
            result = result * (1.0 + shown * (factor.reshape(-1, *(1,) * shown.ndim) - 1.0))
        return result


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
        asked = [(row.limits, row.roots) for row in rows]
        place = {pair: k for k, pair in enumerate(dict.fromkeys(asked))}
        result = self._patterns(list(place)).spread([place[pair] for pair in asked])
        for b, row in enumerate(rows):
            if row.absent:
                result.weights[b, list(row.absent)] = 0.0
        self._mended(result, rows)
        return result

    def _patterns(self, patterns: Sequence[tuple[Limits, Masks]]) -> RowBatch:
        """The batch of rows that only limit findings and mask roots."""
        result = RowBatch(len(patterns), np.ones((len(patterns), len(self.network.causes))))
        scale = np.ones(len(patterns))
        for b, (limits, roots) in enumerate(patterns):
            for root, allowed in roots:
                self._root_mask(result, b, root, allowed)
            for finding, level in limits:
                scale[b] *= self._limit(result, b, finding, level)
        if (scale != 1.0).any():
            result.scale = scale
        return result

    def _mended(self, batch: RowBatch, rows: Sequence[Row]) -> None:
        mended = np.zeros((len(self.network.causes), len(rows)))
        for b, row in enumerate(rows):
            if row.mended:
                mended[list(row.mended), b] = 1.0
        batch.mended = {int(c): mended[c] for c in np.flatnonzero(mended.any(axis=1))}

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
        return 1.0 - sum(self.network.findings[finding].leak[level:])

    def _quiet(self, finding: int, level: int) -> tuple[Array, list[tuple[int, Condition, float]]]:
        """Chances by cause of staying at or under a level, and those that hang on roots."""
        kept = self._kept.get((finding, level))
        if kept is not None:
            return kept
        entry = self.network.findings[finding]
        plain = np.ones(len(self.network.causes))
        conditional = []
        for link in entry.links:
            quiet = 1.0 - sum(link.levels[level:])
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
