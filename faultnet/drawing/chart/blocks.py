"""The blocks of a chart: danger, how to read it, a box for each check, the repairs."""

from collections.abc import Iterator, Mapping

from faultnet.advice.dangers import FULL
from faultnet.drawing.chart import words
from faultnet.drawing.chart.chart import Box, Chart, End, Way
from faultnet.drawing.chart.danger import danger_block
from faultnet.drawing.chart.drawn import Frame, Text
from faultnet.drawing.chart.flow import PAD, Block
from faultnet.drawing.chart.mending import repairs_block
from faultnet.drawing.chart.strips import (
    ASCENT,
    HEADING,
    SMALL,
    Stack,
    Strip,
    beside,
    heading,
    over,
)

TITLE, NUMBER = 17.0, 15.0
"""Sizes in points."""
ANSWER, CHANCE = 0.3, 50.0
"""Of a box: the share of its width for the answer, and the points for its chance."""
GUTTER = 8.0
"""Points between columns of a table."""
INDENT = 18.0
"""Points that each level of the outline stands further in."""
SQUARE = 26.0
"""Points: the side of the black square with the number of a box."""


class Blocks:
    """Makes the blocks of a chart in a column so wide; ``sheets`` says where boxes stand."""

    def __init__(self, chart: Chart, width: float, sheets: Mapping[int, int]) -> None:
        self.chart = chart
        self.subject = chart.subject
        self.width = width
        self.inner = width - 2 * PAD
        self.sheets = sheets
        self.repairs = {name: f"R{n}" for n, name in enumerate(chart.repairs, 1)}
        self._told: dict[str, int] = {}

    def all(self) -> Iterator[Block]:
        """Yield the blocks in their order."""
        yield self._top()
        yield danger_block(self.chart, self.width)
        yield self._rules()
        if len(self.chart.boxes) > 1:
            yield self._outline()
        for box in self.chart.boxes:
            yield self._box(box)
        if self.chart.end is not None:
            yield self._end_alone(self.chart.end)
        if self.repairs:
            yield repairs_block(self.chart, self.width)

    def _top(self) -> Block:
        stack = Stack(self.width)
        stack.say(words.title(self.chart), TITLE, bold=True)
        stack.say(words.complaint(self.chart), HEADING + 1, bold=True)
        stack.say(f"The installation: {words.site(self.chart)}.", gap=3.0)
        stack.say(f"Done by: {self.chart.who}.")
        return Block((stack.strip(),), line=0.0)

    def _rules(self) -> Block:
        stack = heading(self.inner, "How to use this chart")
        for rule in words.RULES:
            stack.say(rule, mark="-")
        stack.say(f"Hand over: {words.last(self.chart)}.", mark="-")
        for told in words.costs(self.chart):
            stack.say(told, bold=True, gap=1.0)
        return Block((stack.strip(0.0, 3.0),))

    def _outline(self) -> Block:
        """All boxes, each further in than the one that leads to it."""
        boxes = {box.number: box for box in self.chart.boxes}
        rows: list[Strip] = []
        shown: set[int] = set()

        def show(number: int, level: int, answer: str) -> None:
            stack = Stack(self.inner - level * INDENT, level * INDENT)
            place = f"{boxes[number].step.title} (sheet {self.sheets.get(number, 1)})"
            if number in shown:
                place = f"as above (sheet {self.sheets.get(number, 1)})"
            stack.say(f"{answer}{place}", mark=str(number))
            rows.append(stack.strip())
            if number in shown:
                return
            shown.add(number)
            for way in boxes[number].ways:
                if way.box:
                    said = " or ".join(words.answers(self.subject, way.answers))
                    show(way.box, level + 1, f"{said}: ")

        show(1, 0, "")
        head = heading(self.inner, "The way through").strip(0.0, 2.0)
        again = heading(self.inner, "The way through, continued").strip(0.0, 2.0)
        return Block((head,), tuple(rows), (again,), ruled=False)

    def _box(self, box: Box) -> Block:
        heading = self._box_heading(box, box.step.title)
        again = self._box_heading(box, f"{box.step.title}, continued")
        first, *others = (*map(self._way, box.ways), self._other(box))
        # What the columns hold stands on every sheet, and never without a row below it.
        rows = [self._how(box), over(self._head_row(), first), *others]
        head = (heading, self._meta(box))
        return Block(head, tuple(rows), (again, self._head_row()), box.number, 1.4)

    def _box_heading(self, box: Box, title: str) -> Strip:
        beyond = SQUARE + 8.0
        stack = Stack(self.inner - beyond, beyond)
        stack.say(f"{title}: {words.minutes(box.step.price)}", HEADING, bold=True, gap=2.0)
        digits = str(box.number)
        inset = (SQUARE - 0.7 * NUMBER * len(digits)) / 2.0
        things = [
            *stack.things,
            Frame(0.0, 0.0, SQUARE, SQUARE, solid=True),
            Text(inset, 5.0 + ASCENT * NUMBER, digits, NUMBER, bold=True, white=True),
        ]
        return Strip(max(stack.y, SQUARE) + 2.0, tuple(things))

    def _meta(self, box: Box) -> Strip:
        stack = Stack(self.inner)
        work = self.subject.knowledge.checks[box.step.id].work
        stack.say(f"{words.state(work)}.", bold=True)
        for each in box.step.setups:
            stack.say(f"First: {words.setup(each)}.")
        sources = ", ".join(map(self._place, box.sources))
        reached = words.percent(box.reached)
        stack.say(
            f"Comes from {sources}; {reached} of such troubles come here."
            if sources
            else "The first step."
        )
        for caution in box.step.cautions:
            stack.say(caution, bold=True, mark="!", gap=1.0)
        return stack.strip(0.0, 3.0)

    def _how(self, box: Box) -> Strip:
        """How the check is done, in full where it stands first, and what to look for."""
        stack = Stack(self.inner)
        spoken = self.chart.who == "caller" or box.step.who == "caller"
        before = self._told.setdefault(box.step.id, box.number)
        if before != box.number:
            stack.say(f"How: as in box {self._place(before)}.")
        else:
            for number, do in enumerate(box.step.do, 1):
                stack.say(do, mark=f"{number}.")
        if spoken:
            for name in box.asks:
                stack.say(
                    words.asked(self.subject, name, caller=self.chart.who == "caller"), mark="?"
                )
        else:
            names = [words.named(self.subject, name) for name in box.asks]
            stack.say(f"Look for: {'; '.join(names)}.", gap=2.0)
        return stack.strip(3.0, 3.0)

    def _head_row(self) -> Strip:
        stacks = self._columns()
        for stack, text in zip(stacks, ("Found", "Chance", "Then"), strict=True):
            stack.say(text, SMALL)
        return beside(stacks, 1.0, 1.0)

    def _way(self, way: Way) -> Strip:
        found, chance, then = self._columns()
        for number, each in enumerate(words.answers(self.subject, way.answers)):
            found.say(f"or: {each}" if number else each, bold=True)
        chance.say(words.percent(way.chance))
        for danger in way.dangers:
            stop = "STOP. " if danger.stop == FULL else "MAKE SAFE. "
            then.say(f"{stop}{danger.say} Send: {danger.send}", bold=True, mark="!")
            then.say("When that is dealt with:")
        if way.end is None:
            then.say(f"Go to {self._place(way.box)}", HEADING, bold=True)
        else:
            self._end(then, way.end)
        return beside([found, chance, then], 3.0, 3.0)

    def _other(self, box: Box) -> Strip:
        found, chance, then = self._columns()
        found.say("Any other answer, not sure, or it cannot be done")
        chance.say(words.percent(box.other_chance))
        self._end(then, box.other)
        return beside([found, chance, then], 3.0, 3.0)

    def _end(self, stack: Stack, end: End) -> None:
        if end.turns:
            stack.say(words.opening(end))
        for turn in end.turns:
            title = self.subject.knowledge.repairs[turn.repair].title
            figures = (words.minutes(turn.minutes), words.percent(turn.ends))
            stack.entry(self.repairs[turn.repair], title, figures)
        stack.say("Still there: hand over." if end.turns else "Hand over.", bold=not end.turns)
        told = words.likeliest(self.chart, end)
        if told:
            stack.say(told, SMALL)

    def _end_alone(self, end: End) -> Block:
        stack = heading(self.inner, "No check is worth its minutes here")
        self._end(stack, end)
        return Block((stack.strip(),))

    def _columns(self) -> list[Stack]:
        """The answer, its chance, and what to do then."""
        rest = self.inner - CHANCE
        stacks, x = [], 0.0
        for width in (ANSWER * rest, CHANCE, (1.0 - ANSWER) * rest):
            stacks.append(Stack(width - GUTTER, x))
            x += width
        return stacks

    def _place(self, number: int) -> str:
        """Return a box with the sheet that it begins on."""
        return f"{number} (sheet {self.sheets.get(number, 1)})"
