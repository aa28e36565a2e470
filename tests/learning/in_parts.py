"""Cases that are split into parts of a size."""

import msgspec

from faultnet.learning.source import CasesAtHand


class InParts(msgspec.Struct, frozen=True):
    """A source whose parts have so many cases each."""

    cases: tuple
    size: int

    def parts(self):
        starts = range(0, len(self.cases), self.size)
        return [CasesAtHand(self.cases[k : k + self.size]) for k in starts]
