"""What became of closed cases that were read and written."""

from typing import TYPE_CHECKING

import msgspec

from faultnet.shapes.measure import AsideShape, SetAsideShape

if TYPE_CHECKING:
    from faultnet.learning.fit.tally import Tally


class WrittenShape(msgspec.Struct, frozen=True):
    """A file of closed cases: how many were read, how many written, and what was set aside."""

    file: str
    read: int
    written: int
    set_aside: AsideShape


def written_shape(file: str, tally: "Tally") -> WrittenShape:
    """Return what was written to a file."""
    counts = {each.code: each.count for each in tally.aside}
    named = tuple(
        SetAsideShape(one.place, one.code, one.reason, one.case)
        for each in tally.aside
        for one in each.first
    )
    return WrittenShape(file, tally.read, tally.used, AsideShape(counts, named))
