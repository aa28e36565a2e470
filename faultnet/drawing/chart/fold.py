"""From a tree to numbered boxes: equal parts of it are drawn once.

Parts are equal where the same is to be done at the same price. Their chances may differ:
the box that is drawn then has the chance over all the ways that lead to it.
"""

from collections import defaultdict
from collections.abc import Hashable, Sequence
from dataclasses import dataclass

import numpy as np

from faultnet.advice.plan import Repairs
from faultnet.drawing.chart.chart import Box, End, Turn, Way
from faultnet.drawing.chart.grow import Node, Row

SHOWN, LEAST = 3, 0.05
"""Likely causes told at an end, and how likely each must be."""


@dataclass(frozen=True)
class _Met:
    """A node with P(coming there), and with that chance given that the trouble lasts."""

    node: Node
    chance: float
    lasting: float


def fold(root: Node) -> tuple[tuple[Box, ...], End | None]:
    """Return the boxes of a tree, the first box first; with no box, its end."""
    folder = _Folder()
    folder.meet(root, 1.0, 1.0)
    if not root.rows:
        return (), folder.end(folder.met[folder.key(root)])
    folder.number(root)
    return tuple(folder.box(key) for key in folder.numbers), None


class _Folder:
    """Gathers equal nodes, numbers them, and makes a box of each."""

    def __init__(self) -> None:
        self._keys: dict[int, Hashable] = {}
        self.met: dict[Hashable, list[_Met]] = defaultdict(list)
        self.numbers: dict[Hashable, int] = {}
        self.sources: dict[Hashable, list[int]] = defaultdict(list)

    def key(self, node: Node) -> Hashable:
        """What is to be done from a node on, whatever the chances."""
        known = self._keys.get(id(node))
        if known is None:
            known = self._keys[id(node)] = self._key(node)
        return known

    def _key(self, node: Node) -> Hashable:
        if not node.rows:
            return (node.why, _to_do(node.repairs))
        assert node.place.step is not None
        assert node.rest is not None
        step = node.place.step
        rows = tuple((_said(row), row.dangers, self.key(row.then)) for row in node.rows)
        return (step.id, round(step.price, 6), step.setups, frozenset(rows), _to_do(node.rest))

    def meet(self, node: Node, chance: float, lasting: float) -> None:
        """Note a node and all below it."""
        self.met[self.key(node)].append(_Met(node, chance, lasting))
        for row, share in zip(node.rows, node.lasting(), strict=False):
            self.meet(row.then, chance * row.chance, lasting * share)

    def number(self, root: Node) -> None:
        """Number the nodes that are boxes, each before those it leads to, likeliest first."""
        key = self.key(root)
        if key in self.numbers:
            return
        self.numbers[key] = len(self.numbers) + 1
        for row in sorted(root.rows, key=lambda row: -row.chance):
            if row.then.rows:
                self.sources[self.key(row.then)].append(self.numbers[key])
                self.number(row.then)

    def box(self, key: Hashable) -> Box:
        """Return the box of equal nodes."""
        met = self.met[key]
        node = met[0].node
        step = node.place.step
        assert step is not None
        rows = [{_said(row): row for row in each.node.rows} for each in met]
        by_target: dict[Hashable, list[Hashable]] = defaultdict(list)
        for said, row in rows[0].items():
            by_target[row.dangers, self.key(row.then)].append(said)
        ways = [self._way(met, rows, said) for said in by_target.values()]
        others = [
            _Met(each.node, _rest(each.node) * each.chance, each.node.lasting()[-1] * each.lasting)
            for each in met
        ]
        return Box(
            self.numbers[key],
            step,
            _asks(node),
            tuple(dict.fromkeys(self.sources[key])),
            sum(each.chance for each in met),
            _mean([each.node.expected() for each in met], [each.lasting for each in met]),
            tuple(sorted(ways, key=lambda way: -way.chance)),
            _end("other", [each.node.rest for each in met], [each.lasting for each in others]),
            _share(others, met)[0],
            _share(others, met)[1],
        )

    def _way(
        self, met: Sequence[_Met], rows: Sequence[dict[Hashable, Row]], said: Sequence[Hashable]
    ) -> Way:
        """Return the way of one or more answers that lead to the same."""
        after = []
        for each, by_answer in zip(met, rows, strict=True):
            shares = dict(zip(by_answer, each.node.lasting(), strict=False))
            after += [
                _Met(by_answer[s].then, each.chance * by_answer[s].chance, each.lasting * shares[s])
                for s in said
            ]
        first = rows[0][said[0]]
        chance, lasting = _share(after, met)
        answers = tuple(rows[0][s].answers for s in said)
        if first.then.rows:
            number = self.numbers[self.key(first.then)]
            return Way(answers, chance, lasting, first.dangers, number)
        return Way(answers, chance, lasting, first.dangers, end=self.end(after))

    def end(self, met: Sequence[_Met]) -> End:
        """Return the end of equal nodes."""
        return _end(
            met[0].node.why,
            [each.node.repairs for each in met],
            [each.lasting for each in met],
            _likeliest(met),
        )


def _said(row: Row) -> Hashable:
    return tuple(row.answers.items())


def _to_do(repairs: Repairs | None) -> Hashable:
    assert repairs is not None
    return tuple((turn.repair, round(turn.price, 6)) for turn in repairs.turns)


def _rest(node: Node) -> float:
    return max(0.0, 1.0 - sum(row.chance for row in node.rows))


def _share(after: Sequence[_Met], before: Sequence[_Met]) -> tuple[float, float]:
    """How likely a step is from where it is taken, and so given that the trouble lasts."""
    return (
        sum(each.chance for each in after) / sum(each.chance for each in before),
        sum(each.lasting for each in after) / sum(each.lasting for each in before),
    )


def _mean(values: Sequence[float], weights: Sequence[float]) -> float:
    total = sum(weights)
    if total <= 0.0:
        return sum(values) / len(values)
    return sum(v * w for v, w in zip(values, weights, strict=True)) / total


def _end(
    why: str,
    planned: Sequence[Repairs | None],
    weights: Sequence[float],
    likeliest: tuple[tuple[str, float], ...] = (),
) -> End:
    """Return an end with the chances over all plans, which do the same."""
    plans = [each for each in planned if each is not None]
    left, turns = 1.0, []
    for place, turn in enumerate(plans[0].turns):
        then = _mean([each.turns[place].left for each in plans], weights)
        turns.append(Turn(turn.repair, turn.price, 1.0 - then / left if left > 0.0 else 0.0))
        left = then
    return End(why, tuple(turns), left, _mean([each.cost for each in plans], weights), likeliest)


def _likeliest(met: Sequence[_Met]) -> tuple[tuple[str, float], ...]:
    """Return the likeliest causes of an end that was looked into."""
    looked = [each for each in met if each.node.looked_into]
    if not looked:
        return ()
    situations = [each.node.place.outlooks.situation for each in looked if each.node.place.outlooks]
    weights = [each.chance for each in looked]
    chances = np.average([s.chances for s in situations], axis=0, weights=weights)
    best = np.argsort(-chances, kind="stable")[:SHOWN]
    causes = situations[0].subject.network.causes
    return tuple((causes[k].id, float(chances[k])) for k in best if chances[k] >= LEAST)


def _asks(node: Node) -> tuple[str, ...]:
    """What the check of a node reveals: findings, layout, circumstances."""
    candidate = node.place.look.candidate
    return (*candidate.findings, *candidate.roots)
