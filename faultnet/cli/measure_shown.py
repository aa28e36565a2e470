"""Measures as text."""

from collections.abc import Iterator, Sequence

from faultnet.cli.columns import columns
from faultnet.cli.measure_work_shown import minutes, visits
from faultnet.cli.measured_figures import bare, mean, percent, set_aside, share
from faultnet.cli.screen import Screen
from faultnet.model.knowledge import Knowledge
from faultnet.shapes.figures import ReliabilityShape
from faultnet.shapes.measure import GroupShape, MeasureShape, RankedShape

MOMENTS = ("at the call", "before the repair")
Row = tuple[str, Sequence[str]]


def text(screen: Screen, knowledge: Knowledge, found: MeasureShape) -> list[str]:
    """Return all measures as lines, as wide as the screen."""
    lines = [*map(screen.bold, screen.wrap(_title(found))), *screen.wrap(_counted(found))]
    if found.also_learnt and found.learnt:
        lines += map(screen.alarm, screen.wrap(_flattering(found)))
    for head, told in _sections(screen, knowledge, found):
        if told:
            lines += ["", *map(screen.bold, screen.wrap(head)), *told]
    return lines


def _sections(
    screen: Screen, knowledge: Knowledge, found: MeasureShape
) -> Iterator[tuple[str, list[str]]]:
    yield "Causes", columns(screen, MOMENTS, list(_causes(found)))
    yield (
        "How likely a cause was told at the call, and how often it was it",
        _told(screen, found.reliability_at_call.causes),
    )
    yield "The same, before the repair", _told(screen, found.reliability_before_repair.causes)
    yield (
        "How likely a part was to be needed at the call, and how often it was fitted",
        _told(screen, found.parts),
    )
    yield "Minutes", minutes(screen, knowledge, found)
    yield "Visits", visits(screen, found)
    yield f"The cause among the first 3, by {found.by} of closing", _groups(screen, found.periods)
    if len(found.systems) > 1:
        yield "The same by system", _groups(screen, found.systems)
    if found.regions:
        yield "The same by region", _groups(screen, found.regions)
    yield "Set aside", set_aside(screen, found.set_aside)


def _title(found: MeasureShape) -> str:
    return f"How well it did on {found.visits.cases} closed cases"


def _counted(found: MeasureShape) -> str:
    left = [
        (sum(found.set_aside.counts.values()), "set aside"),
        (found.outside, "not asked about"),
        (0 if found.also_learnt else found.learnt, "left out, for the files were learnt from them"),
        (found.unconfirmed, "of those measured have no cause that anybody saw"),
    ]
    told = [f"{count} {what}" for count, what in left if count]
    return "; ".join([f"{found.read} read", *told]) + "."


def _flattering(found: MeasureShape) -> str:
    return (
        f"The files were learnt from {found.learnt} of these cases: the figures are better than "
        "they will be on new ones."
    )


def _causes(found: MeasureShape) -> Iterator[Row]:
    both = (found.at_call, found.before_repair)
    yield "Cases with a cause that was seen", [str(each.cases) for each in both]
    yield "It stood first", [share(each.best.one) for each in both]
    yield "  among the first 3", [share(each.best.three) for each in both]
    yield "  among the first 5", [share(each.best.five) for each in both]
    if any(each.several for each in both):
        yield "Cases with several causes", [str(each.several) for each in both]
        yield "  every cause among the first 5", [share(each.every.five) for each in both]
    yield "Log loss (less is better)", [mean(each.log_loss) for each in both]
    yield "  if every chance were right", [bare(each.log_loss_expected) for each in both]
    yield "Brier score (less is better)", [mean(each.brier) for each in both]
    yield "  if every chance were right", [bare(each.brier_expected) for each in both]
    yield "Chance told for the first cause", [percent(each.first.value) for each in both]
    told = (found.reliability_at_call, found.reliability_before_repair)
    yield "Chances of first causes are off by", [percent(each.first.off) for each in told]
    yield "  by luck alone", [percent(each.first.off_by_chance) for each in told]
    yield "Not in the files: told", [percent(each.unlisted_told.value) for each in both]
    yield "  was so", [share(each.unlisted) for each in both]
    yield from _rest(both)


def _rest(both: Sequence[RankedShape]) -> Iterator[Row]:
    if any(each.ruled_out for each in both):
        yield "Cause told to be impossible", [str(each.ruled_out) for each in both]
    if any(each.seen for each in both):
        yield "A check had found the cause", ["", str(both[1].seen)]
        yield "  among the first 3 where none had", ["", share(both[1].unseen.three)]
    if any(each.shortened for each in both):
        yield "Answers left out, as rank asks for", [str(each.shortened) for each in both]


def _told(screen: Screen, found: ReliabilityShape) -> list[str]:
    rows = [
        (
            f"{each.low * 100:.0f} to {each.high * 100:.0f} %",
            (percent(each.told), share(each.came), str(each.came.of)),
        )
        for each in found.equal_widths
    ]
    if not rows:
        return []
    by_luck = percent(found.off_by_chance, 1)
    off = f"Off by {percent(found.off, 1)} in the mean; luck alone would make it {by_luck}."
    return [*columns(screen, ("told", "came", "times"), rows), *screen.wrap(off)]


def _groups(screen: Screen, groups: Sequence[GroupShape]) -> list[str]:
    heads = ("cases", "at the call", "before repair", "log loss", "first visit")
    rows: list[Row] = []
    for group in groups:
        if group.at_call is None or group.before_repair is None or group.visits is None:
            rows.append((group.name, [str(group.cases), "too few", "", "", ""]))
            continue
        top = [percent(each.best.three.value) for each in (group.at_call, group.before_repair)]
        loss = bare(group.before_repair.log_loss)
        first = percent(group.visits.first_visit.value)
        rows.append((group.name, [str(group.cases), *top, loss, first]))
    return columns(screen, heads, rows) if rows else []
