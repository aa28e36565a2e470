"""The repairs at the end of a chart."""

from faultnet.drawing.chart import words
from faultnet.drawing.chart.chart import Chart
from faultnet.drawing.chart.flow import PAD, Block
from faultnet.drawing.chart.strips import HEADING, Stack, Strip, heading
from faultnet.model.repair import Repair


def repairs_block(chart: Chart, width: float) -> Block:
    """Return the repairs that a chart names, each with power, cautions, parts and proof."""
    inner = width - 2 * PAD
    title = "The repairs, each with its proof"
    rows = [
        _repair(chart.subject.knowledge.repairs[name], f"R{number}", inner)
        for number, name in enumerate(chart.repairs, 1)
    ]
    head = heading(inner, title).strip(0.0, 2.0)
    again = heading(inner, f"{title}, continued").strip(0.0, 2.0)
    return Block((head,), tuple(rows), (again,))


def _repair(repair: Repair, number: str, inner: float) -> Strip:
    stack = Stack(inner)
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
