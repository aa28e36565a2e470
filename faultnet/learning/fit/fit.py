"""One case after the other: as it can be used today, or set aside."""

from collections.abc import Callable

import msgspec
from msgspec.structs import replace

from faultnet.authoring.nearest import did_you_mean
from faultnet.learning.closed import ClosedCase
from faultnet.learning.fit.contradiction import check_mended, check_possible
from faultnet.learning.fit.known import check_known, check_named
from faultnet.learning.fit.renaming import with_names_of_today
from faultnet.learning.fit.times import in_utc
from faultnet.learning.fit.unfit import UnfitError
from faultnet.learning.reading.carried import packed, subject_in, unpacked
from faultnet.learning.reading.no_longer import SAY_SO
from faultnet.learning.reading.row import printable
from faultnet.learning.source import Batch, SetAside
from faultnet.model.knowledge import Knowledge


class Fit(msgspec.Struct, frozen=True):
    """What cases are held against: the knowledge, packed, and the time until which they are read.

    ``now`` is ISO 8601 with its zone.
    """

    packed: bytes
    now: str

    def batch(self, read: Batch) -> Batch:
        """Return the cases of a part as they can be used; the others join what is set aside.

        Whether their answers can be so together is not looked at here: see ``possible``.
        """
        return _sifted(read, self._fitted)

    def possible(self, read: Batch) -> Batch:
        """Return what was fitted without the cases that cannot be; the network is asked."""
        return _sifted(read, self._possible)

    def _fitted(self, case: ClosedCase) -> ClosedCase:
        check_named(case)
        knowledge = unpacked(self.packed)
        case = with_names_of_today(in_utc(case, self.now), knowledge.renamed)
        if case.system not in knowledge.systems:
            hint = did_you_mean(case.system, knowledge.systems)
            told = f"there is no system `{case.system[:60]}`. {hint}".rstrip()
            raise UnfitError("unknown-id", f"{told} {SAY_SO}")
        subject = subject_in(self.packed, case.system)
        check_known(subject, case)
        check_mended(subject, case)
        return case

    def _possible(self, case: ClosedCase) -> ClosedCase:
        check_possible(subject_in(self.packed, case.system), case)
        return case


def fit_to(knowledge: Knowledge, now: str) -> Fit:
    """Return what cases are held against."""
    return Fit(packed(knowledge), now)


def places_of(read: Batch) -> tuple[str, ...]:
    """Return where each case stands."""
    return read.places or tuple(f"case {printable(case.id)}" for case in read.cases)


def _sifted(read: Batch, check: Callable[[ClosedCase], ClosedCase]) -> Batch:
    cases, places = [], []
    aside = list(read.set_aside)
    for case, place in zip(read.cases, places_of(read), strict=True):
        try:
            cases.append(check(case))
            places.append(place)
        except UnfitError as error:
            aside.append(SetAside(place, error.code, printable(error.reason), printable(case.id)))
    return replace(read, cases=tuple(cases), set_aside=tuple(aside), places=tuple(places))
