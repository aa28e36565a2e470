"""Minutes and visits of measures as text."""

from collections.abc import Iterator

from faultnet.cli.columns import columns
from faultnet.cli.measured_figures import NONE, bare, mean, share
from faultnet.cli.screen import Screen
from faultnet.model.knowledge import Knowledge
from faultnet.shapes.figures import MeanShape
from faultnet.shapes.measure import MeasureShape, StepTimesShape, TimesShape

WORST = 5
"""Steps shown whose minutes are furthest off, over all cases."""
TIMED = 10
"""A step that was timed less often is not called wrong."""
KINDS = {
    "check": "Checks",
    "repair": "Repairs",
    "specialist": "Specialist",
    "visit": "Whole visits",
}


def minutes(screen: Screen, knowledge: Knowledge, found: MeasureShape) -> list[str]:
    """Return minutes predicted and noted, and the steps that are furthest off."""
    kinds = [(name, found.minutes[kind]) for kind, name in KINDS.items() if kind in found.minutes]
    if not kinds:
        return []
    rows = [
        (
            name,
            (
                str(times.noted.count),
                bare(times.predicted, 0),
                bare(times.noted, 0),
                _times(times.ratio),
                f"{_times(times.ratio_10)} to {_times(times.ratio_90)}",
            ),
        )
        for name, times in kinds
    ]
    heads = ("times", "authored", "noted", "as long", "80 % took")
    told = "Shorter than 10, 50 and 90 % should be, if the authored minutes are the mean: "
    told += "; ".join(f"{name.lower()} {_covered(times)}" for name, times in kinds) + "."
    lines = [*columns(screen, heads, rows), *screen.wrap(told)]
    if found.minutes_not_used:
        left = ", ".join(f"{count} {why}" for why, count in found.minutes_not_used.items())
        lines += map(screen.dim, screen.wrap(f"Steps left out: {left}."))
    return [*lines, *_worst(screen, knowledge, found)]


def _covered(times: TimesShape) -> str:
    below = (times.below_10.value, times.below_50.value, times.below_90.value)
    return ", ".join(NONE if value is None else f"{value * 100:.0f}" for value in below) + " %"


def _times(ratio: float | None) -> str:
    return NONE if ratio is None else f"{ratio:.2f}"


def _worst(screen: Screen, knowledge: Knowledge, found: MeasureShape) -> list[str]:
    timed = [each for each in found.steps if each.too_long.count >= TIMED]
    worst = sorted(timed, key=lambda each: -abs(_off(each)))[:WORST]
    rows = [
        (
            _title(knowledge, each.id),
            (str(each.too_long.count), bare(each.predicted, 0), _more(each.too_long)),
        )
        for each in worst
    ]
    if not rows:
        return []
    told = screen.wrap("Furthest off, over all cases:")
    return ["", *told, *columns(screen, ("times", "authored", "more went by"), rows)]


def _off(step: StepTimesShape) -> float:
    return (step.too_long.value or 0.0) * step.too_long.count


def _title(knowledge: Knowledge, step: str) -> str:
    entry = knowledge.checks.get(step) or knowledge.repairs.get(step)
    return entry.title if entry else step


def visits(screen: Screen, found: MeasureShape) -> list[str]:
    """Return what the cases came to."""
    told = columns(screen, ("",), list(_visits(found)))
    if not found.visits.followed:
        told += map(
            screen.dim, screen.wrap("None of these cases is known to have been come back to.")
        )
    return told


def _visits(found: MeasureShape) -> Iterator[tuple[str, tuple[str]]]:
    visits = found.visits
    yield "Closed on the phone", (share(visits.by_phone),)
    yield "Mended at the first visit, of the others", (share(visits.first_visit),)
    if visits.followed:
        yield "Come back to", (str(visits.followed),)
    yield "Trips, where somebody drove there", (mean(visits.trips, 1),)
    yield "Steps to the cause", (mean(visits.steps_to_cause, 1),)
    yield "Minutes to the cause", (mean(visits.minutes_to_cause, 0),)


def _more(found: MeanShape) -> str:
    if found.value is None or found.low is None or found.high is None:
        return NONE
    return f"{found.value:+.0f} ({found.low:+.0f} to {found.high:+.0f})"
