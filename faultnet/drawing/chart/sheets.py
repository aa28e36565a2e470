"""A chart laid out on sheets of paper; once for every writer."""

from collections.abc import Mapping

from faultnet.drawing.chart import words
from faultnet.drawing.chart.blocks import Blocks
from faultnet.drawing.chart.chart import Chart
from faultnet.drawing.chart.drawn import Rule, Sheet, Text, Thing
from faultnet.drawing.chart.flow import Flow
from faultnet.drawing.chart.paper import Paper
from faultnet.drawing.chart.strips import ASCENT, SMALL
from faultnet.writing.letters import broken, letters

ROUNDS = 4
"""Times that it is laid out until every reference names the sheet that it stands on."""


def lay_out(chart: Chart, paper: Paper) -> tuple[Sheet, ...]:
    """Return the sheets of a chart."""
    stands: Mapping[int, int] = {}
    flow = Flow(paper)
    for _ in range(ROUNDS):
        flow = Flow(paper)
        for block in Blocks(chart, flow.columns[0].width, stands).all():
            flow.add(block)
        if flow.stands == stands:
            break
        stands = flow.stands
    return tuple(
        Sheet(
            paper.width,
            paper.height,
            (*things, *_around(chart, paper, number, len(flow.sheets))),
        )
        for number, things in enumerate(flow.sheets, 1)
    )


def _around(chart: Chart, paper: Paper, number: int, count: int) -> list[Thing]:
    """What stands at the top and the foot of every sheet."""
    area = paper.area
    sheet = f"Sheet {number} of {count}"
    width = letters(bold=True).width(sheet, SMALL)
    right = area.x + area.width - width
    top = area.y + ASCENT * SMALL
    about = f"{words.title(chart)}: {words.complaint(chart)}"
    made = f"Made {chart.day} from knowledge {chart.subject.knowledge.version[:12]} by faultnet."
    advice = "Chances and minutes are judgement where the knowledge names no source."
    rule = area.y + area.height - 28.0
    return [
        Text(area.x, top, _first(about, right - area.x - 12.0), SMALL),
        Text(right, top, sheet, SMALL, bold=True),
        Rule(area.x, area.y + 14.0, area.x + area.width, area.y + 14.0, 0.5),
        Rule(area.x, rule, area.x + area.width, rule, 0.5),
        Text(area.x, rule + 11.0, _first(made, area.width), SMALL),
        Text(area.x, rule + 22.5, _first(advice, area.width), SMALL),
    ]


def _first(text: str, width: float) -> str:
    """Return what of a text fits into a line."""
    lines = broken(text, width, SMALL) or [""]
    return lines[0] if len(lines) == 1 else broken(text, width - 12.0, SMALL)[0] + " …"
