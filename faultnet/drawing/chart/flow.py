"""Blocks flow into columns: whole where they fit, else parted between their rows."""

from collections.abc import Sequence
from dataclasses import dataclass

from faultnet.drawing.chart.drawn import Frame, Rule, Thing
from faultnet.drawing.chart.paper import Column, Paper
from faultnet.drawing.chart.strips import SMALL, Stack, Strip, divided

PAD = 6.0
"""Points between the line of a frame and what stands in it."""
BETWEEN = 9.0
"""Points between blocks."""
ROOM = 0.25
"""Share of a column that must be left for a block to begin there that does not fit whole."""


@dataclass(frozen=True)
class Block:
    """Strips that stay together as a head, and rows that may go on in the next column.

    ``again`` heads what goes on there. ``number`` is that of a box; ``line`` how wide the
    line around is, none where it is 0; rows of a ``ruled`` one have a line between them.
    """

    head: tuple[Strip, ...]
    rows: tuple[Strip, ...] = ()
    again: tuple[Strip, ...] = ()
    number: int = 0
    line: float = 0.8
    ruled: bool = True

    @property
    def pad(self) -> float:
        """Points within the line."""
        return PAD if self.line else 0.0


class Flow:
    """The sheets so far, each a list of things; ``stands`` says on which one each box begins."""

    def __init__(self, paper: Paper) -> None:
        self.columns: Sequence[Column] = paper.columns
        self.sheets: list[list[Thing]] = []
        self.stands: dict[int, int] = {}
        self._at = len(self.columns)
        self._y = 0.0

    def add(self, block: Block) -> None:
        """Add a block."""
        head = list(block.head)
        rows = [part for row in block.rows for part in self._cut(row, block)]
        if not self._fits([*head, *rows], block) and not self._may_begin(head, rows, block):
            self._turn()
        if block.number:
            self.stands[block.number] = len(self.sheets)
        while True:
            fitting = len(rows)
            more: list[Strip] = []
            while fitting and not self._fits([*head, *rows[:fitting], *more], block):
                fitting, more = fitting - 1, [self._more(block)]
            self._draw([*head, *rows[:fitting], *more], len(head), block)
            rows = rows[fitting:]
            if not rows:
                return
            head = list(block.again)
            self._turn()

    def _cut(self, row: Strip, block: Block) -> list[Strip]:
        """A row, in parts where it is higher than a column can be."""
        around = (*block.again, self._more(block))
        used = sum(strip.height for strip in around) + 2 * block.pad
        most = self.columns[0].height - used
        parts = [row]
        while parts[-1].height > most:
            parts[-1:] = divided(parts[-1], most)
        return parts

    def _more(self, block: Block) -> Strip:
        """What stands below a part of a block that is not the last."""
        beside = self._at + 1 < len(self.columns)
        where = "beside this" if beside else f"on sheet {len(self.sheets) + 1}"
        width = self.columns[0].width - 2 * block.pad
        return Stack(width).say(f"More of it {where}.", SMALL, bold=True).strip(1.0, 0.0)

    def _may_begin(self, head: list[Strip], rows: list[Strip], block: Block) -> bool:
        if self._at == len(self.columns) or not rows:
            return False
        left = self.columns[self._at].height - self._y
        return left >= ROOM * self.columns[self._at].height and self._fits(
            [*head, *rows[:1], self._more(block)], block
        )

    def _fits(self, strips: Sequence[Strip], block: Block) -> bool:
        if self._at == len(self.columns):
            return False
        needed = sum(strip.height for strip in strips) + 2 * block.pad
        return self._y + needed <= self.columns[self._at].height + 1e-6

    def _turn(self) -> None:
        """Go on at the top of the next column."""
        self._at += 1
        if self._at >= len(self.columns) or not self.sheets:
            self.sheets.append([])
            self._at = 0
        self._y = 0.0

    def _draw(self, strips: Sequence[Strip], heads: int, block: Block) -> None:
        column = self.columns[self._at]
        sheet = self.sheets[-1]
        top = column.y + self._y
        y = top + block.pad
        for place, strip in enumerate(strips):
            if place >= heads and block.line and block.ruled:
                sheet.append(Rule(column.x, y, column.x + column.width, y, 0.5))
            sheet += strip.at(column.x + block.pad, y)
            y += strip.height
        height = y + block.pad - top
        if block.line:
            sheet.append(Frame(column.x, top, column.width, height, block.line))
        self._y += height + BETWEEN
