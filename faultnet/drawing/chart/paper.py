"""Papers: how large, and where on them may be drawn."""

from typing import Literal

import msgspec

PaperName = Literal["a4", "letter"]
SIZES: dict[str, tuple[float, float]] = {
    "a4": (210 / 25.4 * 72, 297 / 25.4 * 72),
    "letter": (612.0, 792.0),
}
"""Points, upright: A4 of ISO 216, and 8.5 by 11 inches."""
MARGIN = 12 / 25.4 * 72
"""What printers leave white at most (common practice, no source)."""
PUNCHED = 20 / 25.4 * 72
"""The edge with the holes: they lie 12 mm in and are 6 mm wide (ISO 838, from memory)."""
HEAD, FOOT = 20.0, 34.0
"""Points for the line at the top and those at the foot of a sheet."""
GAP = 16.0
"""Points between columns."""


class Column(msgspec.Struct, frozen=True):
    """Where text may stand."""

    x: float
    y: float
    width: float
    height: float


class Paper(msgspec.Struct, frozen=True):
    """A paper, upright or lying; lying it has two columns and its holes at the top."""

    name: str = "a4"
    lying: bool = False

    @property
    def width(self) -> float:
        """Points."""
        return SIZES[self.name][1 if self.lying else 0]

    @property
    def height(self) -> float:
        """Points."""
        return SIZES[self.name][0 if self.lying else 1]

    @property
    def area(self) -> Column:
        """What lies within the margins."""
        left, top = (MARGIN, PUNCHED) if self.lying else (PUNCHED, MARGIN)
        return Column(left, top, self.width - left - MARGIN, self.height - top - MARGIN)

    @property
    def columns(self) -> tuple[Column, ...]:
        """Where the boxes stand, in the order in which they are filled."""
        area, count = self.area, 2 if self.lying else 1
        width = (area.width - GAP * (count - 1)) / count
        return tuple(
            Column(area.x + number * (width + GAP), area.y + HEAD, width, area.height - HEAD - FOOT)
            for number in range(count)
        )
