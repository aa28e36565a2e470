"""The tree of a chart: faultnet followed answer by answer, as deep as was asked for."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from heapq import heappop, heappush
from itertools import count

import msgspec

from faultnet.advice.dangers import DangerMet
from faultnet.advice.followed import Place
from faultnet.advice.plan import Repairs

MOST = 120
"""Boxes that a chart may have; more hang on no wall (judgement)."""
RARE = 0.02
"""Chance of coming there below which a chart looks no further (judgement)."""
HINT = 0.05
"""Share of what is left that a further look is taken to save; only orders the looks."""
LOST = 1e-6
"""What is left unlooked at counts as nothing below this chance."""

DEPTH, REPAIR, SURE, SELDOM, UNKNOWN = "depth", "repair", "sure", "rare", "unknown"
"""Why a branch ends: deep enough, a repair is best, the cause is sure, it seldom comes so
far, or faultnet has no exact answer there."""


class TooDeepError(Exception):
    """A chart with more boxes than hang on a wall: how many, and how deep it may be."""

    def __init__(self, depth: int, boxes: int, fits: int) -> None:
        self.depth, self.boxes, self.fits = depth, boxes, fits
        super().__init__(
            f"A chart {depth} answers deep may have {boxes} boxes here; at most {MOST} are drawn. "
            f"Ask for --depth {fits}, or make one chart for each answer to the first check: say "
            "the answer with -f, or what is known of the layout with -l."
        )


class Live(msgspec.Struct, frozen=True):
    """What it costs to ask faultnet at every step, in minutes.

    ``places`` beyond the chart were looked into for it; unless it is ``exact``, more looks
    would lower it as a rule.
    """

    expected: float
    exact: bool
    places: int


@dataclass
class Row:
    """An answer, its chance, and what is done then.

    ``lasts`` is how much likelier it is where the trouble lasts, as planned before it came.
    """

    answers: dict[str, str]
    chance: float
    lasts: float
    dangers: tuple[DangerMet, ...]
    then: "Node"


@dataclass
class Node:
    """A place in the tree, the chance of coming there, and the repairs planned for it before.

    Once opened, its check has rows; any other answer leads to the repairs of ``rest``.
    """

    place: Place
    chance: float
    planned: Repairs | None = None
    why: str = ""
    rows: list[Row] = field(default_factory=list)
    rest: Repairs | None = None

    @property
    def looked_into(self) -> bool:
        """Whether faultnet was asked here."""
        return self.why not in {SELDOM, UNKNOWN}

    @property
    def repairs(self) -> Repairs:
        """What is done here with no further check."""
        planned = self.planned
        return planned if planned is not None and not self.looked_into else self.place.repairs

    def lasting(self) -> list[float]:
        """P(answer | the trouble lasts) by row, any other answer last."""
        here = self.place.lasts
        shares = [
            row.chance * (row.then.place.lasts / here if row.then.looked_into else row.lasts)
            for row in self.rows
        ]
        return [*shares, max(0.0, 1.0 - sum(shares))]

    def expected(self) -> float:
        """Minutes expected from here on, as long as the trouble lasts."""
        if not self.rows:
            return self.repairs.cost
        assert self.rest is not None
        assert self.place.step is not None
        follow = [*(row.then.expected() for row in self.rows), self.rest.cost]
        return self.place.step.price + sum(
            p * cost for p, cost in zip(self.lasting(), follow, strict=True)
        )

    def open(self) -> None:
        """Add the rows of the check that is best here."""
        place, look = self.place, self.place.look
        plans = {
            tuple(answers.items()): (lasts, follow)
            for answers, lasts, follow in zip(look.answers, look.lasts, look.follow, strict=True)
        }
        for said in place.likeliest:
            lasts, follow = plans[tuple(said.answers.items())]
            then = Node(said.place, self.chance * said.chance, follow, SELDOM)
            self.rows.append(Row(said.answers, said.chance, lasts, said.dangers, then))
        self.rest = look.rest
        self.why = ""

    def leaves(self) -> Iterator["Node"]:
        """Yield the places where a branch ends."""
        if not self.rows:
            yield self
        for row in self.rows:
            yield from row.then.leaves()

    def opened(self) -> Iterator["Node"]:
        """Yield the places that have rows."""
        if self.rows:
            yield self
        for row in self.rows:
            yield from row.then.opened()


def grow(start: Place, depth: int, sure: float) -> Node:
    """Return the tree from a start, whose evidence must be possible.

    A branch ends where ``depth`` answers were given, where a repair is the best step, or
    where a cause has at least the chance ``sure``. Raises ``TooDeepError``.
    """
    root = Node(start, 1.0, why=DEPTH)
    if start.looks:
        _refuse(depth, len(start.likeliest))
    _grow(root, depth, sure)
    return root


def _refuse(depth: int, answers: int) -> None:
    """Raise ``TooDeepError`` where a chart may have too many boxes."""
    boxes = [sum(answers**level for level in range(deep)) for deep in range(depth + 1)]
    if boxes[depth] > MOST:
        raise TooDeepError(depth, boxes[depth], sum(n <= MOST for n in boxes) - 1)


def _grow(node: Node, left: int, sure: float) -> None:
    node.why = _why(node, left, sure)
    if not node.why:
        node.open()
        for row in node.rows:
            _grow(row.then, left - 1, sure)


def _why(node: Node, left: int, sure: float) -> str:
    if node.chance < RARE:
        return SELDOM
    outlooks = node.place.outlooks
    if outlooks is None:
        return UNKNOWN
    if not (node.place.looks if left else node.place.may_look):
        return REPAIR
    if float(outlooks.situation.chances.max()) >= sure:
        return SURE
    return "" if left else DEPTH


def look_further(root: Node, most: int) -> Live:
    """Return what asking faultnet at every step costs; the tree grows on the way.

    Places are looked into where most is at stake, until a repair is best everywhere, or
    ``most`` were. A check is done where it is expected to save, so each look lowers what is
    expected, as a rule: not always, as the order of repairs is found anew at each place.
    """
    heap: list[tuple[float, int, Node]] = []
    numbers = count()

    def put(leaf: Node) -> None:
        if leaf.why in {DEPTH, SURE, SELDOM} and leaf.chance >= LOST:
            heappush(heap, (-leaf.chance * _hoped(leaf), next(numbers), leaf))

    for leaf in root.leaves():
        put(leaf)
    places = 0
    while heap and places < most:
        leaf = heappop(heap)[2]
        places += 1
        if leaf.place.outlooks is None:
            leaf.why = UNKNOWN
        elif leaf.place.looks:
            leaf.open()
            for row in leaf.rows:
                put(row.then)
        else:
            leaf.why = REPAIR
    return Live(root.expected(), not heap and _whole(root), places)


def _hoped(leaf: Node) -> float:
    """What a look at a place is hoped to save."""
    if not leaf.looked_into:
        return HINT * leaf.repairs.cost
    outlooks = leaf.place.outlooks
    assert outlooks is not None
    best = min((outlooks.value(look) for look in outlooks.looks), default=leaf.repairs.cost)
    return max(0.0, leaf.repairs.cost - best)


def _whole(root: Node) -> bool:
    """Whether nothing was left out on the way: no answer, and no place without an answer."""
    others = all(node.lasting()[-1] < LOST for node in root.opened())
    return others and all(leaf.why != UNKNOWN for leaf in root.leaves())
