"""What every engine offers, and how it refuses."""

from collections.abc import Mapping, Sequence
from typing import Protocol, TypeAlias

Evidence: TypeAlias = Mapping[str, str | Mapping[str, float]]
"""Variable to a state, or to a likelihood per state."""

Beliefs: TypeAlias = dict[str, dict[str, float]]
"""Variable to state to probability."""

Candidate: TypeAlias = str | tuple[str, ...]
"""A variable, or several whose answers come together."""

LEAVE_OUT = (
    "say what is known of roots that are open (layout, circumstances), or leave out one or more of"
)
"""What to do about a question on authored knowledge that is too large."""


class TooLargeError(Exception):
    """The exact answer would need more cells than the limit; nothing was computed."""

    def __init__(
        self, cells: int, limit: int, leave_out: Sequence[str], mend: str = LEAVE_OUT
    ) -> None:
        """``leave_out`` names what costs most, dearest first; ``mend`` what to do about it."""
        self.cells = cells
        self.limit = limit
        self.leave_out = tuple(leave_out)
        names = ", ".join(self.leave_out)
        super().__init__(
            f"an exact answer needs {cells:,} cells and the limit is {limit:,}; {mend}: {names}"
        )


class ImpossibleEvidenceError(Exception):
    """The evidence has probability zero."""


class Engine(Protocol):
    """Exact inference on one network; ``name`` says by which method."""

    @property
    def name(self) -> str:
        """What the method is called."""
        ...

    def beliefs(self, evidence: Evidence, targets: Sequence[str] | None = None) -> Beliefs:
        """Return P(state | evidence) of every target.

        Raises ``ImpossibleEvidenceError`` and ``TooLargeError``.
        """
        ...

    def probability(self, evidence: Evidence) -> float:
        """Return P(evidence); zero where it is impossible. Raises ``TooLargeError``."""
        ...

    def predicted_cells(
        self,
        evidence: Evidence,
        targets: Sequence[str] | None = None,
        candidates: Sequence[Candidate] = (),
    ) -> int:
        """Return the cells that a question needs, before anything is computed."""
        ...

    def what_if(
        self, evidence: Evidence, targets: Sequence[str], candidates: Sequence[Candidate]
    ) -> dict[Candidate, dict[str | tuple[str, ...], tuple[float, Beliefs]]]:
        """Return, per candidate and answer, its probability and the beliefs after it.

        The candidate ``()`` asks nothing: its one answer ``()`` holds the beliefs as they are.
        """
        ...
