"""The blocks of a chart: danger, how to read it, a box for each check, the repairs."""

from collections.abc import Iterator, Mapping

from faultnet.advice.dangers import FULL
from faultnet.advice.subject import Subject
from faultnet.drawing.chart import words
from faultnet.drawing.chart.chart import Box, Chart, End, Way
from faultnet.drawing.chart.drawn import Frame, Text
from faultnet.drawing.chart.flow import PAD, Block
from faultnet.drawing.chart.strips import ASCENT, SMALL, Stack, Strip, beside, over
from faultnet.model.finding import Danger, Finding
from faultnet.model.repair import Repair

TITLE, HEADING, NUMBER = 17.0, 12.0, 15.0
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
        yield self._danger()
        yield self._rules()
        if len(self.chart.boxes) > 1:
            yield self._outline()
        for box in self.chart.boxes:
            yield self._box(box)
        if self.chart.end is not None:
            yield self._end_alone(self.chart.end)
        if self.repairs:
            yield self._repairs()

    def _top(self) -> Block:
        stack = Stack(self.width)
        stack.say(words.title(self.chart), TITLE, bold=True)
        stack.say(words.complaint(self.chart), HEADING + 1, bold=True)
        stack.say(f"The installation: {words.site(self.chart)}.", gap=3.0)
        stack.say(f"Done by: {self.chart.who}.")
        return Block((stack.strip(),), line=0.0)

    def _danger(self) -> Block:
        stack = self._heading("DANGER FIRST: is any of this so, here and now?")
        stack.say(
            "Then do what stands beside it, before any other step. Look from the doorway; touch "
            "nothing yet. This sheet cannot ask for itself: look again whenever something changes."
        )
        stack.say(words.CISTERN, bold=True, gap=2.0)
        stack.say(words.BY_PHONE if self.chart.who == "caller" else words.LOCAL)
        head = stack.strip(0.0, 3.0)
        again = self._heading("DANGER, continued").strip(0.0, 3.0)
        rows = [self._before(d.finding, d.say) for d in self.chart.dangers]
        rows += [self._danger_row(f, d) for f, d in dangers(self.subject, self.chart)]
        return Block((head,), tuple(rows), (again,), line=2.4)

    def _danger_row(self, finding: Finding, danger: Danger) -> Strip:
        stop = "STOP" if danger.stop == FULL else "MAKE SAFE"
        about = words.about(self.subject, finding.id, danger.answer)
        stack = Stack(self.inner)
        if self.chart.who == "caller":
            about = finding.ask_caller or finding.ask
        stack.run_in(
            f"{stop}: {about.rstrip('.')}" + "." * (about[-1:] != "?"),
            f"{danger.say} Send: {danger.send}",
            SMALL,
        )
        return stack.strip(1.5, 2.5)

    def _rules(self) -> Block:
        stack = self._heading("How to use this chart")
        for rule in words.RULES:
            stack.say(rule, mark="-")
        stack.say(f"Hand over: {words.last(self.chart)}.", mark="-")
        for told in words.costs(self.chart):
            stack.say(told, bold=True, gap=1.0)
        return Block((stack.strip(0.0, 3.0),))

    def _before(self, finding: str, say: str) -> Strip:
        title = self.subject.knowledge.findings[finding].title
        stack = Stack(self.inner)
        stack.say(f"Before box 1, because of “{title}”: {say}", bold=True, mark="!")
        return stack.strip(2.0, 2.0)

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
        head = self._heading("The way through").strip(0.0, 2.0)
        again = self._heading("The way through, continued").strip(0.0, 2.0)
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
        stack = self._heading("No check is worth its minutes here")
        self._end(stack, end)
        return Block((stack.strip(),))

    def _repairs(self) -> Block:
        title = "The repairs, each with its proof"
        rows = [
            self._repair(self.subject.knowledge.repairs[name], number)
            for name, number in self.repairs.items()
        ]
        head = self._heading(title).strip(0.0, 2.0)
        again = self._heading(f"{title}, continued").strip(0.0, 2.0)
        return Block((head,), tuple(rows), (again,))

    def _repair(self, repair: Repair, number: str) -> Strip:
        stack = Stack(self.inner)
        work = repair.work
        stack.say(f"{number}  {repair.title}", HEADING - 1, bold=True)
        whole = f"{words.minutes(work.minutes.value)} of work"
        if work.waiting.value:
            whole += f", {words.minutes(work.waiting.value)} of waiting"
        stack.say(f"{words.state(work)}; {whole}.")
        if repair.parts:
            stack.say(f"Parts: {', '.join(part.replace('-', ' ') for part in repair.parts)}.")
        for caution in work.cautions:
            stack.say(caution, bold=True, mark="!", gap=1.0)
        proof = repair.proof or "The signs of the trouble stay away under normal use."
        stack.say(f"Proof ({words.minutes(repair.proof_minutes.value)}): {proof}", gap=1.0)
        if repair.disinfect in words.DISINFECT:
            stack.say(words.DISINFECT[repair.disinfect])
        return stack.strip(2.0, 3.0)

    def _heading(self, text: str) -> Stack:
        return Stack(self.inner).say(text, HEADING, bold=True)

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


def dangers(subject: Subject, chart: Chart) -> list[tuple[Finding, Danger]]:
    """Return the dangers that can be at a system as it is laid out.

    Full stops come first, and of these what no fault makes (somebody in the cistern).
    """
    known = chart.evidence.layout
    entries = [subject.knowledge.findings[name] for name in subject.findings]
    found = [
        (entry, danger)
        for entry in entries
        if all(known.get(where, values[0]) in values for where, values in entry.only_when.items())
        for danger in entry.dangers
    ]
    links = {
        entry.id: len(subject.network.findings[subject.findings[entry.id]].links)
        for entry in entries
    }
    return sorted(found, key=lambda each: (each[1].stop != FULL, links[each[0].id]))
