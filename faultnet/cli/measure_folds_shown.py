"""Learning tried out by time, as text."""

from collections.abc import Iterator, Sequence

from faultnet.cli.columns import columns
from faultnet.cli.measured_figures import NONE, bare, set_aside, share
from faultnet.cli.screen import Screen
from faultnet.shapes.figures import MeanShape
from faultnet.shapes.measure_folds import FoldsShape, MomentFoldShape

HEADS = ("as written", "learnt")


def text(screen: Screen, found: FoldsShape) -> list[str]:
    """Return all stretches, and all of them together, as lines."""
    title = "Learnt from what came before, measured on what came after"
    lines = [*map(screen.bold, screen.wrap(title))]
    for head, moment in (("At the call", "at_call"), ("Before the repair", "before_repair")):
        whole: MomentFoldShape = getattr(found, moment)
        lines += ["", screen.bold(head), *columns(screen, HEADS, list(_whole(whole)))]
        lines += screen.wrap(_moved(whole))
    lines += ["", *map(screen.bold, screen.wrap("Each stretch, log loss before the repair"))]
    heads = ("learnt from", "measured on", *HEADS)
    lines += columns(screen, heads, list(_stretches(found)))
    if found.set_aside.counts:
        lines += ["", screen.bold("Set aside"), *set_aside(screen, found.set_aside)]
    return lines


def _whole(found: MomentFoldShape) -> Iterator[tuple[str, Sequence[str]]]:
    both = (found.as_written, found.learnt)
    yield "Cases with a cause that was seen", [str(each.cases) for each in both]
    yield "It stood first", [share(each.best.one) for each in both]
    yield "  among the first 3", [share(each.best.three) for each in both]
    yield "  among the first 5", [share(each.best.five) for each in both]
    yield "Log loss (less is better)", [bare(each.log_loss) for each in both]
    yield "  if every chance were right", [bare(each.log_loss_expected) for each in both]
    yield "Brier score (less is better)", [bare(each.brier) for each in both]


def _moved(found: MomentFoldShape) -> str:
    moved = found.moved
    return (
        f"Learning moves the log loss of a case by {_signed(moved.log_loss, 2)}, and "
        f"{_signed(moved.three, 1, 100.0)} of 100 causes to the first 3."
    )


def _signed(found: MeanShape, digits: int, times: float = 1.0) -> str:
    """A difference with its sign and its range, so many times as large."""
    if found.value is None:
        return NONE
    told = f"{found.value * times:+.{digits}f}"
    if found.low is None or found.high is None:
        return told
    return f"{told} ({found.low * times:+.{digits}f} to {found.high * times:+.{digits}f})"


def _stretches(found: FoldsShape) -> Iterator[tuple[str, Sequence[str]]]:
    for fold in found.folds:
        moment = fold.before_repair
        both = [bare(each.log_loss) for each in (moment.as_written, moment.learnt)]
        cases = str(moment.learnt.cases)
        yield f"{fold.since} to {fold.until}", [str(fold.learnt_from), cases, *both]
