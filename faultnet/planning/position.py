"""What a planner knows of the world: positions, the steps from them, bounds on the cost."""

from collections.abc import Hashable, Sequence
from typing import TYPE_CHECKING, Literal, Protocol

import msgspec

if TYPE_CHECKING:
    from faultnet.planning.plan import Move

Kind = Literal["check", "repair", "fall-back"]


class Step(msgspec.Struct, frozen=True):
    """Something that can be done once from a position, with its price from there."""

    id: str
    kind: Kind
    price: float


class Position(Protocol):
    """A state of knowledge from which one acts; the trouble is not over.

    Costs are expected costs from here on. For a search to be right, ``lower`` must never
    exceed the least expected cost, ``upper`` must be a plan that can be carried out at
    exactly its cost, and equal keys must mean equal futures.
    """

    @property
    def key(self) -> Hashable:
        """What tells this position from others of the same problem."""

    def steps(self) -> Sequence[Step]:
        """Return the steps that can be taken; at least one."""

    def after(self, step: Step, /) -> "Sequence[tuple[str, float, Position | None]]":
        """Return each answer of a step, its probability and the position it leads to.

        ``None`` stands for the end of the trouble. Answers that cannot come are left out.
        """

    def upper(self) -> float:
        """Return what it costs to follow ``without_checks``: a bound from above."""

    def without_checks(self) -> "Move":
        """Return the best plan without a check that is at hand; it ends it for certain."""

    def lower(self) -> float:
        """Return a bound from below, at most the least expected cost."""

    def sharpened(self) -> "Position":
        """Return the same position with the sharpest lower bound that can be afforded."""
