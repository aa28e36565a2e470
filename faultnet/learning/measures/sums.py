"""All that is added up about some cases."""

import msgspec

from faultnet.learning.aside import Aside
from faultnet.learning.measures.figures import Summed
from faultnet.learning.measures.grid import Grid
from faultnet.learning.measures.ranked import Ranked, Reliability
from faultnet.learning.measures.times import ByName, Steps, Times
from faultnet.learning.measures.visits import Visits


class Group(Summed, frozen=True):
    """Sums over the cases of a month, a system or a region; ``at_call`` and ``before_repair``.

    The first is what was known when the call was over, the second at the end of the first
    round, before anything was mended.
    """

    at_call: Ranked = Ranked()
    before_repair: Ranked = Ranked()
    visits: Visits = Visits()


class Details(Summed, frozen=True):
    """What is kept of all cases together: every probability on a grid, and minutes.

    ``visit`` has the minutes of whole visits, as they were priced at the call.
    """

    at_call: Reliability = msgspec.field(default_factory=Reliability)
    before_repair: Reliability = msgspec.field(default_factory=Reliability)
    parts: Grid = msgspec.field(default_factory=Grid)
    steps: Steps = msgspec.field(default_factory=Steps)
    visit: Times = msgspec.field(default_factory=Times)


class Sums(Summed, frozen=True):
    """All sums; ``read`` counts all cases, ``unconfirmed`` those that say nothing of causes.

    ``learnt`` counts cases that were learnt from, ``outside`` those that were not asked about.
    """

    read: int = 0
    unconfirmed: int = 0
    learnt: int = 0
    outside: int = 0
    whole: Group = Group()
    details: Details = msgspec.field(default_factory=Details)
    months: ByName[Group] = ByName()
    systems: ByName[Group] = ByName()
    regions: ByName[Group] = ByName()
    set_aside: Aside = msgspec.field(default_factory=Aside)
