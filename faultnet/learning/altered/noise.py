"""Log-normal noise, by the name of each number."""

from collections.abc import Sequence
from hashlib import blake2b
from math import exp

import msgspec
import numpy as np


class Noise(msgspec.Struct, frozen=True):
    """How far off the authored numbers are, and which of all such draws this is.

    ``sigma`` is the standard deviation of the logarithm of the odds of a chance (and of a
    factor itself), ``minutes`` that of the logarithm of minutes; as ``sigma`` where it is
    None. Every number has a child of the seed by its own name, so that one number more
    shifts no other, and draw 3 with a greater sigma is draw 3 moved further.
    """

    sigma: float
    seed: int = 0
    minutes: float | None = None

    @property
    def of_minutes(self) -> float:
        """The standard deviation of the logarithm of minutes."""
        return self.sigma if self.minutes is None else self.minutes

    def normal(self, name: str) -> float:
        """Return the number that is drawn for a name, of the standard normal distribution."""
        digest = blake2b(name.encode(), digest_size=16).digest()
        key = tuple(int.from_bytes(digest[k : k + 4], "big") for k in range(0, 16, 4))
        return float(
            np.random.default_rng(np.random.SeedSequence(self.seed, spawn_key=key)).normal()
        )

    def factor(self, name: str) -> float:
        """Return the factor on odds, half of all draws above 1."""
        return exp(self.sigma * self.normal(name))

    def on_minutes(self, name: str) -> float:
        """Return the factor on minutes, 1 on the average: the work in all takes as long."""
        sigma = self.of_minutes
        return exp(sigma * self.normal(name) - sigma * sigma / 2.0)

    def levels(self, name: str, levels: Sequence[float]) -> tuple[float, ...]:
        """Return chances of which one at most comes true, the odds of each against none altered.

        They stay below 1 in sum. What is certain, or cannot be, stays so.
        """
        none = 1.0 - sum(levels)
        if none <= 0.0:
            return tuple(levels)
        odds = [p / none * self.factor(f"{name}/{k}") if p else 0.0 for k, p in enumerate(levels)]
        return tuple(o / (1.0 + sum(odds)) for o in odds)

    def shares(self, name: str, shares: dict[str, float]) -> dict[str, float]:
        """Return shares of a whole, the odds between any two altered; they sum to one."""
        weights = {k: share * self.factor(f"{name}/{k}") for k, share in shares.items()}
        total = sum(weights.values())
        return {k: weight / total for k, weight in weights.items()}
