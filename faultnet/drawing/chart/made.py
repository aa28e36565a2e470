"""Making a chart of a trouble."""

from collections.abc import Callable
from datetime import UTC, datetime

import msgspec

from faultnet.advice.conflict import Said
from faultnet.advice.dangers import dangers_met
from faultnet.advice.followed import Place, made_safe
from faultnet.advice.steps import next_steps
from faultnet.advice.subject import Subject
from faultnet.drawing.chart.chart import Chart
from faultnet.drawing.chart.fold import fold
from faultnet.drawing.chart.grow import grow, look_further
from faultnet.model.evidence import Evidence


class Wanted(msgspec.Struct, frozen=True):
    """How a chart is wanted: who does it, how many answers deep.

    A branch ends where a cause is as likely as ``sure``; ``further`` places beyond the chart
    are looked into for what faultnet live costs.
    """

    who: str
    depth: int
    sure: float
    further: int


class UnchartedError(Exception):
    """A trouble that cannot be charted: what conflicts."""

    def __init__(self, said: tuple[Said, ...]) -> None:
        self.said = said
        super().__init__("These cannot all be true together.")


def make_chart(
    subject: Subject,
    evidence: Evidence,
    wanted: Wanted,
    today: Callable[[], datetime] = lambda: datetime.now(UTC),
) -> Chart:
    """Return the chart of a trouble.

    Raises ``UnchartedError``, ``TooDeepError``, ``UnknownNameError``, ``UnfitReadingError``
    and ``TooLargeError``.
    """
    met = tuple(d for d in dangers_met(subject, evidence) if not d.made_safe)
    start = Place(subject, made_safe(evidence, met), wanted.who)
    if start.outlooks is None:
        advice = next_steps(subject, start.evidence, wanted.who)  # tells why, or raises
        raise UnchartedError(advice.conflict)
    tree = grow(start, wanted.depth, wanted.sure)
    boxes, end = fold(tree)
    expected = tree.expected()
    return Chart(
        subject,
        evidence,
        wanted.who,
        wanted.depth,
        today().date().isoformat(),
        met,
        boxes,
        end,
        expected,
        start.repairs.cost,
        look_further(tree, wanted.further) if wanted.further else None,
    )
