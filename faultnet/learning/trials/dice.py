"""What falls to chance in a call: one number for each thing that is asked, whoever asks it."""

from hashlib import blake2b

import msgspec
import numpy as np

BITS = 53
"""What a number between 0 and 1 holds."""


class Dice(msgspec.Struct, frozen=True):
    """The chances of one call of a seed.

    A number hangs on the call and on what it is thrown for, and on nothing that came before:
    two policies that ask the same thing get the same answer.
    """

    seed: int
    number: int

    def at(self, *about: str | int) -> float:
        """Return the number, from 0 to below 1, that is thrown for something."""
        return (self._thrown(about) >> (64 - BITS)) / 2.0**BITS

    def pick(self, chances: "list[float]", *about: str | int) -> int:
        """Return a place, each as likely as its weight."""
        left = self.at(*about) * sum(chances)
        for place, chance in enumerate(chances):
            if left < chance:
                return place
            left -= chance
        return max(place for place, chance in enumerate(chances) if chance > 0.0)

    def generator(self, *about: str | int) -> np.random.Generator:
        """Return many numbers for something."""
        return np.random.default_rng(self._thrown(about))

    def _thrown(self, about: "tuple[str | int, ...]") -> int:
        text = "\0".join(map(str, (self.seed, self.number, *about)))
        return int.from_bytes(blake2b(text.encode(), digest_size=8).digest(), "big")
