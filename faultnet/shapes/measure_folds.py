"""Learning tried out by time: `measure --folds`."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

import msgspec

from faultnet.shapes.figures import MeanShape, mean_shape
from faultnet.shapes.measure import AsideShape, RankedShape, aside_shape, ranked_shape

if TYPE_CHECKING:
    from faultnet.learning.measures.folds import Fold
    from faultnet.learning.measures.paired import Moved, Pair
    from faultnet.learning.measures.ranked import Ranked


class MovedShape(msgspec.Struct, frozen=True):
    """What learning adds to each case, in the mean.

    Less is better for the log loss and the Brier score, more for the share of cases whose cause
    is among the ``three`` that come first.
    """

    log_loss: MeanShape
    brier: MeanShape
    three: MeanShape


class MomentFoldShape(msgspec.Struct, frozen=True):
    """One moment of the cases: with numbers as written, as learnt, and the difference."""

    as_written: RankedShape
    learnt: RankedShape
    moved: MovedShape


class FoldShape(msgspec.Struct, frozen=True):
    """Days on which cases were closed that were measured, and how many before were learnt from."""

    since: str
    until: str
    learnt_from: int
    at_call: MomentFoldShape
    before_repair: MomentFoldShape


class FoldsShape(msgspec.Struct, frozen=True):
    """Every stretch, and all of them together."""

    knowledge: str
    folds: tuple[FoldShape, ...]
    at_call: MomentFoldShape
    before_repair: MomentFoldShape
    set_aside: AsideShape


def folds_shape(knowledge: str, folds: "Sequence[Fold]") -> FoldsShape:
    """Return all stretches, of which there are some; ``knowledge`` is the version of the files."""
    whole = folds[0].pair
    for fold in folds[1:]:
        whole += fold.pair
    return FoldsShape(
        knowledge,
        tuple(FoldShape(f.since, f.until, f.learnt_from, *_moments(f.pair)) for f in folds),
        *_moments(whole),
        aside_shape(folds[0].pair.one.set_aside),
    )


def _moments(pair: "Pair") -> tuple[MomentFoldShape, MomentFoldShape]:
    one, other = pair.one.whole, pair.other.whole
    return (
        _moment(one.at_call, other.at_call, pair.at_call),
        _moment(one.before_repair, other.before_repair, pair.before_repair),
    )


def _moment(one: "Ranked", other: "Ranked", moved: "Moved") -> MomentFoldShape:
    told = MovedShape(*map(mean_shape, (moved.log_loss, moved.brier, moved.three)))
    return MomentFoldShape(ranked_shape(one), ranked_shape(other), told)
