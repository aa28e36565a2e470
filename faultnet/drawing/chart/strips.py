"""Strips: what stands side by side and is kept on one sheet, built from the top down."""

from dataclasses import dataclass, field

from faultnet.drawing.chart.drawn import Text, Thing, moved
from faultnet.writing.letters import broken, letters

BODY, SMALL, HEADING = 9.5, 9.0, 12.0
"""Sizes of type in points; none on a chart is smaller (judgement: read at arm's length)."""
LEADING = 1.3
"""Distance of baselines in sizes."""
ASCENT, DESCENT = 0.93, 0.24
"""What letters of DejaVu Sans take above and below the baseline, in sizes."""
HANG = 14.0
"""Points that a text stands in behind its mark; more where the mark needs more."""


FIGURES = (46.0, 34.0)
"""Points for the minutes and the chance at the end of a line."""


@dataclass(frozen=True)
class Strip:
    """Things with their height, from the upper left corner of the strip, in points."""

    height: float
    things: tuple[Thing, ...] = ()

    def at(self, x: float, y: float) -> list[Thing]:
        """Return the things where the strip stands at a place."""
        return [moved(thing, x, y) for thing in self.things]


@dataclass
class Stack:
    """Texts below each other in a column so wide, from ``x`` on."""

    width: float
    x: float = 0.0
    y: float = 0.0
    things: list[Thing] = field(default_factory=list)

    def say(
        self, text: str, size: float = BODY, *, bold: bool = False, mark: str = "", gap: float = 0.0
    ) -> "Stack":
        """Add text; a mark stands before it, the text hangs behind the mark."""
        hang = max(HANG, letters(bold=True).width(f"{mark} ", size)) if mark else 0.0
        self.y += gap
        if mark:
            first = self.y + ASCENT * size
            self.things.append(Text(self.x, first, mark, size, bold=True))
        for line in broken(text, self.width - hang, size, bold=bold):
            self.things.append(Text(self.x + hang, self.y + ASCENT * size, line, size, bold=bold))
            self.y += LEADING * size
        return self

    def entry(self, mark: str, text: str, figures: tuple[str, str]) -> "Stack":
        """Add a marked text with figures that stand below those of other entries."""
        column = Stack(self.width - sum(FIGURES), self.x, self.y).say(text, mark=mark)
        self.things += column.things
        end = self.x + column.width
        for figure, room in zip(figures, FIGURES, strict=True):
            end += room
            start = end - letters(bold=False).width(figure, BODY)
            self.things.append(Text(start, self.y + ASCENT * BODY, figure, BODY))
        self.y = column.y
        return self

    def run_in(self, lead: str, text: str, size: float = BODY) -> "Stack":
        """Add a bold lead with text that goes on in the same line."""
        *full, lead = broken(lead, self.width, size, bold=True)
        for line in full:
            self.say(line, size, bold=True)
        start = letters(bold=True).width(lead + " ", size)
        words = text.split()
        first = 0
        while first < len(words) and self._runs_on(words[: first + 1], size, start):
            first += 1
        baseline = self.y + ASCENT * size
        self.things.append(Text(self.x, baseline, lead, size, bold=True))
        if first:
            self.things.append(Text(self.x + start, baseline, " ".join(words[:first]), size))
        self.y += LEADING * size
        return self.say(" ".join(words[first:]), size)

    def _runs_on(self, words: list[str], size: float, start: float) -> bool:
        """Whether words fit behind a lead."""
        return start + letters(bold=False).width(" ".join(words), size) <= self.width

    def strip(self, above: float = 0.0, below: float = 0.0) -> Strip:
        """Return it as a strip with some room above and below."""
        return beside([self], above, below)


def heading(width: float, text: str) -> Stack:
    """Return a stack that begins with a heading."""
    return Stack(width).say(text, HEADING, bold=True)


def beside(stacks: list[Stack], above: float = 0.0, below: float = 0.0) -> Strip:
    """Return stacks side by side as a strip."""
    things = [moved(thing, 0.0, above) for stack in stacks for thing in stack.things]
    return Strip(above + max(stack.y for stack in stacks) + below, tuple(things))


def over(above: Strip, below: Strip) -> Strip:
    """Return two strips as one."""
    return Strip(above.height + below.height, (*above.things, *below.at(0.0, above.height)))


def divided(strip: Strip, height: float) -> tuple[Strip, Strip]:
    """Return a strip that is too high for any sheet in two, between lines of text."""
    above = [t for t in strip.things if _bottom(t) <= height]
    below = [t for t in strip.things if _bottom(t) > height]
    start = min(map(_top, below))
    rest = tuple(moved(thing, 0.0, -start) for thing in below)
    return Strip(height, tuple(above)), Strip(strip.height - start, rest)


def _top(thing: Thing) -> float:
    return thing.y - ASCENT * thing.size if isinstance(thing, Text) else thing.y


def _bottom(thing: Thing) -> float:
    return thing.y + DESCENT * thing.size if isinstance(thing, Text) else thing.y
