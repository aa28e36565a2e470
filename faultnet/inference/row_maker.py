"""Rows turned into batches for one query."""

from collections.abc import Hashable, Iterable, Sequence
from math import fsum
from operator import and_
from typing import TypeVar

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.inference.draws import Draw
from faultnet.inference.rows import Factors, Row, RowBatch
from faultnet.network.network import Condition, Network

Array = npt.NDArray[np.float64]
Key = TypeVar("Key", bound=Hashable)


class Quiet(msgspec.Struct, frozen=True):
    """The chance that the leak of a finding keeps quiet, and that each of its links does.

    Links go by their cause and the unknown rest of their condition.
    """

    leak: float
    links: list[tuple[tuple[int, Condition], float]]


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
        self._kept: dict[tuple[int, int], Quiet] = {}
        self._masks: dict[tuple[int, int], tuple[bool, ...]] = {}

    def batch(self, rows: Sequence[Row]) -> RowBatch:
        """Return the rows as one batch."""
        result = self.patterns(rows)
        late = self.sets([(row.absent, row.mended) for row in rows])
        result.mended = late.mended
        for cause, absent in late.weights.items():
            result.weights[cause] = result.weights.get(cause, 1.0) * absent
        return result

    def factors(self, rows: Sequence[Row]) -> Factors:
        """Return the rows as factors; what many rows share is worked out once."""
        patterns, place = _distinct([(row.limits, row.roots, row.tip) for row in rows])
        sets, other = _distinct([(row.absent, row.mended) for row in rows])
        whole = [Row(*pattern) for pattern in patterns]
        return Factors(self.patterns(whole), place, self.sets(sets), other)

    def crossed(
        self, rows: Sequence[Row], others: Sequence[Row], pairs: Sequence[tuple[int, int]]
    ) -> Factors:
        """Return one row for each pair of places: a row with the causes of another one.

        Of the ``others`` only which causes are absent or mended counts; of the ``rows``
        all but that.
        """
        sets = self.sets([(row.absent, row.mended) for row in others])
        return Factors(self.patterns(rows), [a for a, _ in pairs], sets, [b for _, b in pairs])

    def sets(self, sets: Sequence[tuple[Iterable[int], Iterable[int]]]) -> RowBatch:
        """The batch of rows in which some causes are absent and some are mended."""
        absent: dict[int, list[float]] = {}
        mended: dict[int, list[float]] = {}
        for b, (gone, late) in enumerate(sets):
            for cause in gone:
                if cause not in absent:
                    absent[cause] = [1.0] * len(sets)
                absent[cause][b] = 0.0
            for cause in late:
                if cause not in mended:
                    mended[cause] = [0.0] * len(sets)
                mended[cause][b] = 1.0
        return RowBatch(len(sets), _arrays(absent), mended=_arrays(mended))

    def patterns(self, rows: Sequence[Row]) -> RowBatch:
        """The batch of rows, whichever causes are absent or mended in them."""
        made = _Columns(len(rows))
        limited: dict[tuple[int, int], list[int]] = {}
        for b, row in enumerate(rows):
            for root, allowed in row.roots:
                made.mask(made.roots, root, b, allowed)
            for limit in row.limits:
                limited.setdefault(limit, []).append(b)
            if row.tip is not None:
                made.scale[b] *= row.tip.scale
                for cause, factor in row.tip.odds:
                    made.tipped.setdefault(cause, [1.0] * made.size)[b] = factor
        for (finding, level), places in limited.items():
            self._limit(made, places, finding, level)
        return made.batch()

    def _limit(self, made: "_Columns", places: list[int], finding: int, level: int) -> None:
        """Apply a limit to the rows at some places."""
        if finding in self.silent:
            return
        draw = self.tracked.get(finding)
        if draw is not None:
            for b in places:
                made.mask(made.draws, draw, b, self._mask(draw, level))
            return
        quiet = self._quiet(finding, level)
        for b in places:
            made.scale[b] *= quiet.leak
        for key, factor in quiet.links:
            column = made.weights.get(key)
            if column is None:
                column = made.weights[key] = [1.0] * made.size
            for b in places:
                column[b] *= factor

    def _quiet(self, finding: int, level: int) -> Quiet:
        """The chances that nothing brings a finding above a level; worked out once."""
        kept = self._kept.get((finding, level))
        if kept is None:
            entry = self.network.findings[finding]
            links = []
            for link in entry.links:
                condition = self._unknown(link.when + entry.when)
                if condition is not None:
                    links.append(((link.source, condition), 1.0 - fsum(link.levels[level:])))
            kept = Quiet(1.0 - fsum(entry.leak[level:]), links)
            self._kept[finding, level] = kept
        return kept

    def _unknown(self, condition: Condition) -> Condition | None:
        """The unknown rest of a condition; None where it fails."""
        rest = []
        for root, allowed in condition:
            if root not in self.known:
                rest.append((root, allowed))
            elif not allowed[self.known[root]]:
                return None
        return tuple(rest)

    def _mask(self, draw: int, level: int) -> tuple[bool, ...]:
        """The values of a draw that are at most at a level in the open round."""
        kept = self._masks.get((draw, level))
        if kept is None:
            place = self.draws[draw].tracked.index(self.now)
            kept = tuple(0 <= v[place] <= level for v in self.draws[draw].values)
            self._masks[draw, level] = kept
        return kept


class _Columns(msgspec.Struct, eq=False):
    """What rows say, as one list by row for each thing that any row speaks about."""

    size: int
    weights: dict[tuple[int, Condition], list[float]] = {}
    roots: dict[int, list[tuple[bool, ...]]] = {}
    draws: dict[int, list[tuple[bool, ...]]] = {}
    tipped: dict[int, list[float]] = {}
    scale: list[float] = []

    def __post_init__(self) -> None:
        self.scale = [1.0] * self.size

    def mask(
        self,
        into: dict[int, list[tuple[bool, ...]]],
        what: int,
        b: int,
        allowed: tuple[bool, ...],
    ) -> None:
        """Allow a row some states of a root or values of a draw, and no others."""
        column = into.setdefault(what, [(True,) * len(allowed)] * self.size)
        column[b] = tuple(map(and_, column[b], allowed))

    def batch(self) -> RowBatch:
        """The batch of these rows."""
        result = RowBatch(self.size)
        for (cause, condition), column in self.weights.items():
            if condition:
                kept = result.conditional.setdefault(cause, [])
                kept.append((condition, np.array(column)))
            else:
                result.weights[cause] = np.array(column)
        result.root_masks = {root: _states(column) for root, column in self.roots.items()}
        result.draw_masks = {draw: _states(column) for draw, column in self.draws.items()}
        result.tipped = _arrays(self.tipped)
        if any(factor != 1.0 for factor in self.scale):
            result.scale = np.array(self.scale)
        return result


def _arrays(columns: dict[int, list[float]]) -> dict[int, Array]:
    return {what: np.array(column) for what, column in columns.items()}


def _states(column: list[tuple[bool, ...]]) -> Array:
    """Masks by row as an array of states by rows."""
    return np.array([list(states) for states in zip(*column, strict=True)], dtype=float)


def _distinct(keys: Sequence[Key]) -> tuple[list[Key], list[int]]:
    """The different keys, and for each key given its place among them."""
    place = {key: k for k, key in enumerate(dict.fromkeys(keys))}
    return list(place), [place[key] for key in keys]
