"""Evidence as an engine takes it: likelihoods on variables, round by round."""

import msgspec


class Mend(msgspec.Struct, frozen=True):
    """A repair of a cause that ended a round (counted from 0), with its chance of success."""

    cause: int
    round: int
    succeeds: float


class BroughtIn(msgspec.Struct, frozen=True):
    """A cause that work at the end of a round may have brought in."""

    cause: int
    round: int
    probability: float


class Observed(msgspec.Struct, frozen=True):
    """Likelihoods per root state and per (finding, round) answer.

    The likelihood of a finding covers its answers in order, then ``cannot`` when it
    has needs. ``redraws`` holds (finding, round): drawn anew from that round on.
    ``made_safe`` are findings that were a danger in the open round: what shows them with
    no cause at all is dealt with before anything is mended.
    """

    rounds: int = 1
    roots: dict[int, tuple[float, ...]] = {}
    findings: dict[tuple[int, int], tuple[float, ...]] = {}
    mends: tuple[Mend, ...] = ()
    brought_in: tuple[BroughtIn, ...] = ()
    redraws: tuple[tuple[int, int], ...] = ()
    made_safe: frozenset[int] = frozenset()

    @property
    def now(self) -> int:
        """The index of the open round."""
        return self.rounds - 1
