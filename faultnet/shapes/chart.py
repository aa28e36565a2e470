"""A decision chart: its boxes, what to do after each answer, and what following it costs."""

from typing import TYPE_CHECKING

import msgspec

from faultnet.shapes.warnings import DangerShape, SaidShape, conflict_shape, dangers_shape

if TYPE_CHECKING:
    from faultnet.advice.conflict import Said
    from faultnet.drawing.chart.chart import Box, Chart, End, Way
    from faultnet.drawing.chart.grow import Live


class ChanceShape(msgspec.Struct, frozen=True):
    """A cause and how likely it is."""

    id: str
    probability: float


class TurnShape(msgspec.Struct, frozen=True):
    """A repair in its order: minutes, and the chance that it ends the trouble when reached."""

    repair: str
    minutes: float
    ends: float


class EndShape(msgspec.Struct, frozen=True):
    """Where a branch ends; after the last repair somebody else takes over.

    ``why`` is ``repair`` (a repair is the best step), ``sure``, ``depth``, ``rare`` (the chart
    seldom comes so far), ``unknown`` (no exact answer there) or ``other`` (any other answer).
    ``left`` is the chance that no repair ends it, ``expected`` the minutes from there on.
    """

    why: str
    repairs: tuple[TurnShape, ...]
    left: float
    expected: float
    likeliest: tuple[ChanceShape, ...]


class WayShape(msgspec.Struct, frozen=True):
    """Answers that lead to the same: to a ``box``, or to an ``end``."""

    answers: tuple[dict[str, str], ...]
    probability: float
    dangers: tuple[DangerShape, ...]
    box: int | None
    end: EndShape | None


class BoxShape(msgspec.Struct, frozen=True):
    """A numbered check; ``reached`` is the chance of coming here, ``sources`` the boxes before.

    ``other`` is for any other answer, and where the check cannot be done.
    """

    number: int
    id: str
    title: str
    minutes: float
    who: str
    cautions: tuple[str, ...]
    sources: tuple[int, ...]
    reached: float
    expected: float
    ways: tuple[WayShape, ...]
    other: EndShape
    other_probability: float


class LiveShape(msgspec.Struct, frozen=True):
    """What asking at every step costs; unless ``exact``, it is lower as a rule.

    ``places`` beyond the chart were looked into.
    """

    expected: float
    exact: bool
    places: int


class ChartShape(msgspec.Struct, frozen=True):
    """A chart, all costs in minutes; no ``boxes`` where no check is worth its minutes."""

    system: str
    knowledge: str
    made: str
    who: str
    depth: int
    unit: str
    dangers: tuple[DangerShape, ...]
    expected: float
    live: LiveShape | None
    repair_only: float
    boxes: tuple[BoxShape, ...]
    end: EndShape | None
    files: tuple[str, ...]
    sheets: int


class UnchartedShape(msgspec.Struct, frozen=True):
    """Answers that cannot all be true: there is no chart."""

    system: str
    conflict: tuple[SaidShape, ...]


def chart_shape(chart: "Chart", files: tuple[str, ...] = (), sheets: int = 0) -> ChartShape:
    """Return a chart, with the files and sheets that were written."""
    return ChartShape(
        system=chart.subject.system.id,
        knowledge=chart.subject.knowledge.version,
        made=chart.day,
        who=chart.who,
        depth=chart.depth,
        unit="minutes",
        dangers=dangers_shape(chart.dangers),
        expected=chart.expected,
        live=None if chart.live is None else _live(chart.live),
        repair_only=chart.repair_only,
        boxes=tuple(map(_box, chart.boxes)),
        end=None if chart.end is None else _end(chart.end),
        files=files,
        sheets=sheets,
    )


def uncharted_shape(system: str, said: "tuple[Said, ...]") -> UnchartedShape:
    """Return what cannot all be true."""
    return UnchartedShape(system, conflict_shape(said))


def _live(live: "Live") -> LiveShape:
    return LiveShape(live.expected, live.exact, live.places)


def _box(box: "Box") -> BoxShape:
    return BoxShape(
        number=box.number,
        id=box.step.id,
        title=box.step.title,
        minutes=box.step.price,
        who=box.step.who,
        cautions=box.step.cautions,
        sources=box.sources,
        reached=box.reached,
        expected=box.expected,
        ways=tuple(map(_way, box.ways)),
        other=_end(box.other),
        other_probability=box.other_chance,
    )


def _way(way: "Way") -> WayShape:
    end = None if way.end is None else _end(way.end)
    return WayShape(way.answers, way.chance, dangers_shape(way.dangers), way.box or None, end)


def _end(end: "End") -> EndShape:
    turns = tuple(TurnShape(turn.repair, turn.minutes, turn.ends) for turn in end.turns)
    causes = tuple(ChanceShape(cause, chance) for cause, chance in end.likeliest)
    return EndShape(end.why, turns, end.left, end.expected, causes)
