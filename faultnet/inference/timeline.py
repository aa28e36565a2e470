"""In which rounds a cause is alive, as bit masks with probabilities."""

from faultnet.inference.observed import Observed

Alive = list[tuple[float, int]]
"""Probability and bit mask of rounds; probabilities sum to one."""


class Timeline:
    """Alive masks of causes under the repairs of the case."""

    def __init__(self, observed: Observed) -> None:
        """Index the repairs and what the work may have brought in, by cause."""
        self.rounds = observed.rounds
        self._mends: dict[int, list[tuple[int, float]]] = {}
        for mend in observed.mends:
            self._mends.setdefault(mend.cause, []).append((mend.round, mend.succeeds))
        self._brought: dict[int, list[tuple[int, float]]] = {}
        for brought in observed.brought_in:
            entry = (brought.round, brought.probability)
            self._brought.setdefault(brought.cause, []).append(entry)

    def alive(self, cause: int, since: int = 0) -> Alive:
        """Masks of a cause that is there from a round on."""
        mends = self._mends.get(cause)
        if not mends:
            return [(1.0, _span(since, self.rounds))]
        options: dict[int, float] = {_span(since, self.rounds): 1.0}
        for round_, succeeds in sorted(mends):
            after = _span(round_ + 1, self.rounds)
            split: dict[int, float] = {}
            for mask, weight in options.items():
                ended = mask & ~after
                split[ended] = split.get(ended, 0.0) + weight * succeeds
                split[mask] = split.get(mask, 0.0) + weight * (1.0 - succeeds)
            options = split
        return [(w, m) for m, w in options.items() if w > 0.0]

    def starts(self, cause: int) -> list[tuple[float, int]]:
        """Chances that work brings in an absent cause, with the first round it is there."""
        absent = 1.0
        starts = []
        for round_, probability in sorted(self._brought.get(cause, [])):
            starts.append((absent * probability, round_ + 1))
            absent *= 1.0 - probability
        return starts


def _span(first: int, end: int) -> int:
    return sum(1 << r for r in range(first, end))
