"""The box of a chart that stands first: danger."""

from faultnet.advice.dangers import FULL, DangerMet
from faultnet.advice.subject import Subject
from faultnet.drawing.chart import words
from faultnet.drawing.chart.chart import Chart
from faultnet.drawing.chart.flow import PAD, Block
from faultnet.drawing.chart.strips import SMALL, Stack, Strip, heading
from faultnet.model.finding import Danger, Finding


def danger_block(chart: Chart, width: float) -> Block:
    """Return the box with every danger of the system; what the complaint asks for first."""
    inner = width - 2 * PAD
    stack = heading(inner, "DANGER FIRST: is any of this so, here and now?")
    stack.say(
        "Then do what stands beside it, before any other step. Look from the doorway; touch "
        "nothing yet. This sheet cannot ask for itself: look again whenever something changes."
    )
    stack.say(words.CISTERN, bold=True, gap=2.0)
    stack.say(words.BY_PHONE if chart.who == "caller" else words.LOCAL)
    head = stack.strip(0.0, 3.0)
    again = heading(inner, "DANGER, continued").strip(0.0, 3.0)
    rows = [_before(chart, inner, d) for d in chart.dangers]
    rows += [_row(chart, inner, f, d) for f, d in dangers(chart.subject, chart)]
    return Block((head,), tuple(rows), (again,), line=2.4)


def _row(chart: Chart, inner: float, finding: Finding, danger: Danger) -> Strip:
    stop = "STOP" if danger.stop == FULL else "MAKE SAFE"
    about = words.about(chart.subject, finding.id, danger.answer)
    stack = Stack(inner)
    if chart.who == "caller":
        about = finding.ask_caller or finding.ask
    stack.run_in(
        f"{stop}: {about.rstrip('.')}" + "." * (about[-1:] != "?"),
        f"{danger.say} Send: {danger.send}",
        SMALL,
    )
    return stack.strip(1.5, 2.5)


def _before(chart: Chart, inner: float, danger: DangerMet) -> Strip:
    """What the complaint itself asks for before anything else."""
    title = chart.subject.knowledge.findings[danger.finding].title
    told = f"Before box 1, because of “{title}”: {danger.say} Send: {danger.send}"
    return Stack(inner).say(told, bold=True, mark="!").strip(2.0, 2.0)


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
