"""The order of a sweep: which causes when, and when axes open and close.

Axes are unknown roots (numbered from 0) and draws (numbered after the roots). Items
are causes with effects on draws, and blocks of causes that have none. Items are
taken axis after axis: next comes the axis whose items leave the fewest cells open,
counted before anything is computed.
"""

from collections.abc import Iterable, Iterator
from math import inf, log2

import msgspec

from faultnet.inference.draws import Draw
from faultnet.inference.gates import Gate
from faultnet.inference.leaves import Leaf


class Item(msgspec.Struct, eq=False):
    """One cause with effects, or a block of quiet ones with the same roots."""

    leaves: list[Leaf]
    roots: tuple[int, ...]
    draws: tuple[int, ...]
    loud: bool
    mask: int = 0


class Step(msgspec.Struct, eq=False):
    """One step of the sweep with the axes that are open before it, in order."""

    kind: str
    axes: tuple[int, ...]
    what: int = -1
    leaves: tuple[Leaf, ...] = ()


class Plan(msgspec.Struct, eq=False):
    """The steps, the cells of the largest array and the cells of all (for one row)."""

    steps: list[Step] = []
    cells: int = 1
    work: int = 0


class Planner:
    """Chooses the order for one query."""

    def __init__(self, sizes: dict[int, int], first_draw: int) -> None:
        """``sizes`` holds the states of each axis; draw ``d`` is axis ``first_draw + d``."""
        self.sizes = sizes
        self.first_draw = first_draw
        self.log = {axis: log2(size) if size else 0.0 for axis, size in sizes.items()}
        self._logs = {0: 0.0}

    def plan(self, leaves: Iterable[Leaf], draws: list[Draw], gates: list[Gate]) -> Plan:
        """Return the steps."""
        items = self._items(list(leaves))
        run = _Run(self, draws, gates, items)
        run.settle()
        run.take_all(items)
        run.finish()
        return run.plan

    def _items(self, leaves: list[Leaf]) -> list[Item]:
        blocks: dict[tuple[int, ...], list[Leaf]] = {}
        items = []
        for leaf in leaves:
            if leaf.loud:
                items.append(Item([leaf], leaf.roots, tuple(sorted(leaf.draws)), loud=True))
            else:
                blocks.setdefault(leaf.roots, []).append(leaf)
        items += [Item(block, roots, (), loud=False) for roots, block in blocks.items()]
        for item in items:
            axes = [*item.roots, *(self.first_draw + d for d in item.draws)]
            item.mask = sum(1 << a for a in axes)
        return items

    def log_size(self, mask: int) -> float:
        """Base-two logarithm of the cells of a set of axes."""
        known = self._logs.get(mask)
        if known is None:
            known = sum(self.log[bit.bit_length() - 1] for bit in _bits(mask))
            self._logs[mask] = known
        return known


class _Run:
    """State of the planning: what is open, and what still needs each axis."""

    def __init__(
        self, planner: Planner, draws: list[Draw], gates: list[Gate], items: list[Item]
    ) -> None:
        self.planner = planner
        self.draws = draws
        self.gates = gates
        self.plan = Plan()
        self.open = 0
        self.gated = {k for k, gate in enumerate(gates) if gate.constant is not None}
        self.closed = set(self.gated)
        self.users: dict[int, int] = dict.fromkeys(planner.sizes, 0)
        for item in items:
            self._count(item.mask, 1)
        for gate in gates:  # a constant gate reads no root
            for root in gate.roots:
                self.users[root] += 1

    def take_all(self, items: list[Item]) -> None:
        """Take every item: axis after axis, the one that leaves least open first."""
        left = list(items)
        while left:
            axis = self._next_axis(left)
            group = [item for item in left if item.mask & axis or not axis]
            left = [item for item in left if not (item.mask & axis or not axis)]
            while group:
                self._take(group.pop(self._next_item(group)))

    def _next_axis(self, items: list[Item]) -> int:
        """The bit of the axis whose items, all taken, leave the fewest cells open."""
        log_size = self.planner.log_size
        users: dict[int, int] = {}
        together: dict[int, int] = {}
        for k, item in enumerate(items):
            for bit in _bits(item.mask):
                users[bit] = users.get(bit, 0) | 1 << k
                together[bit] = together.get(bit, 0) | item.mask
        best, best_key = 0, (inf, inf)
        for bit, mask in together.items():
            freed = sum(b for b in _bits(mask) if not users[b] & ~users[bit] and self._frees(b))
            opened = self.open | mask
            key = (log_size(opened & ~freed), log_size(opened))
            if key < best_key:
                best, best_key = bit, key
        return best

    def _next_item(self, items: list[Item]) -> int:
        """The item that leaves the fewest cells open."""
        log_size = self.planner.log_size
        single = sum(1 << axis for axis, users in self.users.items() if users == 1)
        keys = []
        for item in items:
            opened = self.open | item.mask
            freed = sum(b for b in _bits(item.mask & single) if self._frees(b))
            keys.append((log_size(opened & ~freed), log_size(opened)))
        return keys.index(min(keys))

    def _frees(self, bit: int) -> bool:
        """Whether an axis closes with its last item; in a net of gates it waits longer."""
        draw = bit.bit_length() - 1 - self.planner.first_draw
        return draw < 0 or not (self.draws[draw].children or self.draws[draw].parents)

    def settle(self) -> None:
        """Run every gate and close every axis that nothing needs any more."""
        for index, draw in enumerate(self.draws):
            axis = self.planner.first_draw + index
            ready = not self.users[axis] and all(p in self.gated for p in draw.parents)
            if index not in self.gated and ready:
                self._gate(index)
                self._close_done()
        for axis in sorted(self.users):
            if axis < self.planner.first_draw and self.open >> axis & 1 and not self.users[axis]:
                self._close(axis, "close-root", axis)

    def _close_done(self) -> None:
        """Close every draw whose value nothing below it needs any more."""
        for index in sorted(self.gated - self.closed):
            if all(c in self.gated for c in self.draws[index].children):
                self._close(self.planner.first_draw + index, "close-draw", index)
                self.closed.add(index)

    def finish(self) -> None:
        """Open and close the roots that nothing reads, so that rows can mask them."""
        opened = {s.what for s in self.plan.steps if s.kind == "open-root"}
        for axis in sorted(self.planner.sizes):
            if axis < self.planner.first_draw and axis not in opened:
                self._open(1 << axis)
                self._close(axis, "close-root", axis)

    def _take(self, item: Item) -> None:
        self._open(item.mask)
        self._step("cause" if item.loud else "block", leaves=tuple(item.leaves))
        self._count(item.mask, -1)
        self.settle()

    def _gate(self, index: int) -> None:
        gate = self.gates[index]
        axes = [self.planner.first_draw + index, *gate.roots]
        self._open(sum(1 << a for a in axes))
        self._step("gate", index)
        self.gated.add(index)
        for root in gate.roots:
            self.users[root] -= 1

    def _open(self, mask: int) -> None:
        new = mask & ~self.open
        while new:
            axis = (new & -new).bit_length() - 1
            kind = "open-root" if axis < self.planner.first_draw else "open-draw"
            self._step(kind, axis if kind == "open-root" else axis - self.planner.first_draw)
            self.open |= 1 << axis
            new &= new - 1
            self._measure()

    def _close(self, axis: int, kind: str, what: int) -> None:
        self._step(kind, what)
        self.open &= ~(1 << axis)

    def _step(self, kind: str, what: int = -1, leaves: tuple[Leaf, ...] = ()) -> None:
        axes = tuple(a for a in sorted(self.planner.sizes) if self.open >> a & 1)
        self.plan.steps.append(Step(kind, axes, what, leaves))
        self.plan.work += 2 ** int(self.planner.log_size(self.open))

    def _measure(self) -> None:
        cells = round(2 ** self.planner.log_size(self.open))
        self.plan.cells = max(self.plan.cells, cells)

    def _count(self, mask: int, by: int) -> None:
        while mask:
            self.users[(mask & -mask).bit_length() - 1] += by
            mask &= mask - 1


def _bits(mask: int) -> Iterator[int]:
    while mask:
        low = mask & -mask
        yield low
        mask ^= low
