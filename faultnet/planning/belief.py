"""Positions of a written-out problem: a weight on every world, sets kept as bit masks."""

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Self

import msgspec

from faultnet.planning.examine import FALL_BACK, require_fit
from faultnet.planning.plan import Move, in_order
from faultnet.planning.position import Step
from faultnet.planning.problem import Problem
from faultnet.planning.repair_only import RepairOrders
from faultnet.planning.surplus import Parts, Surplus, affordable
from faultnet.planning.worlds import Floats, Worlds

OVER, NOT_OVER = "over", "not-over"


class Key(msgspec.Struct, frozen=True):
    """What tells positions apart.

    ``answers`` counts the answers in mixed radix (0: not looked at), ``seen`` says which
    repairs had been done when each check was looked at, as far as it makes a difference.
    The order of steps is of no account beyond that.
    """

    answers: int
    seen: int
    done: int
    on: int


@dataclass(frozen=True)
class Ground:
    """What all positions of a problem share."""

    worlds: Worlds
    orders: RepairOrders
    surplus: Surplus | None = None


class _Litter:
    """Positions born of one step: their plans without checks are worked out together."""

    def __init__(self, ground: Ground, weights: Floats, done: int, on: int) -> None:
        self.weights, self.done, self.on = weights, done, on
        self.totals = weights.sum(axis=1)
        self.known = weights @ ground.worlds.known[done]
        self._ground = ground

    @cached_property
    def uppers(self) -> Floats:
        """Cost, times weight, of the best plan without checks of each."""
        return self._ground.orders.costs(self.weights, self.done, self.on)


class Belief:
    """A position of a problem.

    ``weights`` (world) sum to ``total``, the chance of getting here; ``gone`` are the
    checks that are done or spoilt.
    """

    __slots__ = ("_litter", "_parts", "_row", "gone", "ground", "key", "total")

    def __init__(
        self,
        ground: Ground,
        key: Key,
        gone: int,
        litter: _Litter,
        row: int = 0,
        parts: Parts | None = None,
    ) -> None:
        self.ground, self.key, self.gone = ground, key, gone
        self._litter, self._row, self._parts = litter, row, parts
        self.total = float(litter.totals[row])

    @property
    def weights(self) -> Floats:
        """The weight of each world, given all that has been seen and done."""
        weights: Floats = self._litter.weights[self._row]
        return weights

    def steps(self) -> list[Step]:
        """Return the checks that can still tell something, repairs that may help, fall-back."""
        worlds, key = self.ground.worlds, self.key
        support = self.weights > 0.0
        steps = []
        tells = worlds.tells(support)
        for n, check in enumerate(worlds.checks):
            if tells[n] and not self.gone >> n & 1:
                steps.append(Step(check.id, "check", float(worlds.prices[n, key.on])))
        helps = worlds.helps @ support
        for n, repair in enumerate(worlds.repairs):
            if helps[n] and not key.done >> n & 1:
                price = worlds.prices[len(worlds.checks) + n, key.on]
                steps.append(Step(repair.id, "repair", float(price)))
        if worlds.problem.fall_back is not None:
            steps.append(Step(FALL_BACK, "fall-back", worlds.fall_back))
        return steps

    def after(self, step: Step) -> list[tuple[str, float, Self | None]]:
        """Return each answer of a step, its probability and the position it leads to."""
        if step.kind == "fall-back":
            return [(OVER, 1.0, None)]
        row = self.ground.worlds.row[step.id]
        return self._checked(row) if step.kind == "check" else self._repaired(row)

    def upper(self) -> float:
        """Return the cost of the best plan without checks."""
        return float(self._litter.uppers[self._row]) / self.total

    def repair_only(self) -> list[str]:
        """Return the order of repairs of the best plan without checks, then the fall-back."""
        worlds, key = self.ground.worlds, self.key
        order = self.ground.orders.order(self.weights, key.done, key.on)
        return [*(worlds.repairs[number].id for number in order), FALL_BACK]

    def without_checks(self) -> Move:
        """Return the repairs in that order."""
        return in_order(self, self.repair_only())

    def lower(self) -> float:
        """Return a lower bound: the cost if the world were known, and what that leaves out."""
        known = float(self._litter.known[self._row])
        if self.ground.surplus is not None and self._parts is not None:
            known += self.ground.surplus.at(self._parts, self.key.on)
        return known / self.total

    def sharpened(self) -> Self:
        """Return the same position, its lower bound taken from a table where that is affordable."""
        ground = self.ground
        if ground.surplus is not None or not affordable(ground.worlds):
            return self
        surplus = Surplus(ground.worlds)
        parts = surplus.all(self.key.answers, self.key.done)
        sharp = replace(ground, surplus=surplus)
        return type(self)(sharp, self.key, self.gone, self._litter, self._row, parts)

    def _checked(self, row: int) -> list[tuple[str, float, Self | None]]:
        ground, key = self.ground, self.key
        worlds, parts = ground.worlds, self._parts
        on = int(worlds.then[row, key.on])
        seen = key.seen | (key.done & worlds.speaks_of[row]) << row * len(worlds.repairs)
        gone = self.gone | 1 << row | worlds.spoils[row]
        litter = _Litter(ground, worlds.says[row] * self.weights, key.done, on)
        result: list[tuple[str, float, Self | None]] = []
        for n, answer in enumerate(worlds.answers[row]):
            if litter.totals[n] > 0.0:
                then = Key(key.answers + (n + 1) * worlds.strides[row], seen, key.done, on)
                after = ground.surplus.answered(parts, row, n) if ground.surplus and parts else None
                follows = type(self)(ground, then, gone, litter, n, after)
                result.append((answer, follows.total / self.total, follows))
        return result

    def _repaired(self, row: int) -> list[tuple[str, float, Self | None]]:
        ground, key, parts = self.ground, self.key, self._parts
        worlds, number = ground.worlds, row - len(ground.worlds.checks)
        weights = worlds.after_repair(self.weights, number)
        then = Key(key.answers, key.seen, key.done | 1 << number, int(worlds.then[row, key.on]))
        left = min(1.0, float(weights.sum()) / self.total)
        result: list[tuple[str, float, Self | None]] = []
        if left < 1.0:
            result.append((OVER, 1.0 - left, None))
        if left > 0.0:
            litter = _Litter(ground, weights[None, :], then.done, then.on)
            after = ground.surplus.repaired(parts, number) if ground.surplus and parts else None
            gone = self.gone | worlds.spoils[row]
            result.append((NOT_OVER, left, type(self)(ground, then, gone, litter, 0, after)))
        return result


def start(problem: Problem) -> Belief:
    """Return the position from which a problem is planned; raises ``UnfitProblemError``."""
    require_fit(problem)
    worlds = Worlds(problem)
    ground = Ground(worlds, RepairOrders(worlds))
    return Belief(ground, Key(0, 0, 0, 0), 0, _Litter(ground, worlds.prior[None, :], 0, 0))
