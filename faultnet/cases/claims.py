"""What was said about one thing, by whom, and what of it has not been seen by the next."""

from collections.abc import Callable
from typing import Generic, TypeVar

import msgspec

T = TypeVar("T")


class Claim(msgspec.Struct, Generic[T], frozen=True):
    """Something said: the place of its entry in the order, its value, who, whose word."""

    place: int
    value: T
    author: str
    speaker: str


class Claims(Generic[T]):
    """The claims about each thing, in order.

    What was said with an earlier claim in view takes its place; what was said without
    having seen it stands beside it.
    """

    def __init__(self, saw: Callable[[int, int], bool]) -> None:
        """``saw`` tells whether the author at one place had seen the entry at another."""
        self._saw = saw
        self._held: dict[str, list[Claim[T]]] = {}

    def add(self, about: str, claim: Claim[T], *, any_speaker: bool = False) -> None:
        """Add a claim in place of those seen, by the same speaker or by any."""
        self._held[about] = [
            *(
                each
                for each in self.about(about)
                if not self._saw(claim.place, each.place)
                or not (any_speaker or each.speaker == claim.speaker)
            ),
            claim,
        ]

    def drop(self, place: int, about: str) -> None:
        """Leave out what was said about something, as far as it was seen from a place."""
        kept = [each for each in self.about(about) if not self._saw(place, each.place)]
        self._held[about] = kept

    def about(self, about: str) -> list[Claim[T]]:
        """Return the claims about something, in order."""
        return self._held.get(about, [])

    def known(self, about: str, place: int, speaker: str) -> bool:
        """Whether somebody at a place had seen a claim of this speaker."""
        claims = self.about(about)
        return any(c.speaker == speaker and self._saw(place, c.place) for c in claims)

    def all(self) -> list[tuple[str, Claim[T]]]:
        """Return every claim with what it is about, in the order of their places."""
        found = [(about, claim) for about, claims in self._held.items() for claim in claims]
        return sorted(found, key=lambda each: each[1].place)

    def latest(self) -> list[tuple[str, Claim[T]]]:
        """Return the last claim about each thing, in the order of their places."""
        return sorted(
            ((about, claims[-1]) for about, claims in self._held.items() if claims),
            key=lambda each: each[1].place,
        )

    def unseen(self, about: str) -> list[Claim[T]]:
        """Return the claims that nobody has answered with another, having seen them."""
        claims = self.about(about)
        return [c for c in claims if not any(self._saw(d.place, c.place) for d in claims)]

    def abouts(self) -> list[str]:
        """Return what there are claims about."""
        return [about for about, claims in self._held.items() if claims]
