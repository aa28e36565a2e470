"""One pass over a part of the cases: what they show, added up."""

from collections.abc import Iterator, Sequence
from functools import cached_property

import msgspec
import numpy as np

from faultnet.advice.possibilities import UnfitReadingError
from faultnet.advice.subject import UnknownNameError
from faultnet.inference.engine import ImpossibleEvidenceError, TooLargeError
from faultnet.learning.closed import ClosedCase
from faultnet.learning.estimate.counts import Counts, counts, nothing
from faultnet.learning.estimate.met import UNLOOKED, meet
from faultnet.learning.estimate.scores import Calling, Scorer
from faultnet.learning.estimate.slots import Array
from faultnet.learning.estimate.unknowns import Unknowns
from faultnet.learning.lighter import lighter
from faultnet.learning.source import CasesAtHand, Part, SetAside, Source
from faultnet.network.network import Network

PORTION = 100
"""Cases of a part, where they are at hand: it does not hang on how many share the work."""
WORK = 2**22
"""Cells that one case may pass through, beyond which an answer is left out: part of a second."""
NAMED = 5
"""Cases that are named for a number."""


class Told(msgspec.Struct, frozen=True):
    """What of the cases of a part told, and what not.

    ``lightened`` counts the cases of which answers were left out.
    """

    counts: Counts
    set_aside: tuple[SetAside, ...] = ()
    deep: "Deep | None" = None
    lightened: int = 0


class Deep(msgspec.Struct, eq=False):
    """How much cases tell of each unknown (``told``), and of any two (``both``).

    ``named`` holds, by unknown, the first cases in which a thing came true that it is about.
    """

    told: Array
    both: Array
    named: dict[int, tuple[str, ...]]

    def __add__(self, other: "Deep") -> "Deep":
        """What both tell."""
        named = dict(self.named)
        for k, cases in other.named.items():
            named[k] = (*named.get(k, ()), *cases)[:NAMED]
        return Deep(self.told + other.told, self.both + other.both, named)


class Passing(msgspec.Struct, frozen=True, dict=True):
    """Meets the cases of a part at one state of the numbers; ``calling`` asks for scores too."""

    unknowns: Unknowns
    network: Network
    calling: Calling | None = None

    def __call__(self, part: Part) -> Told:
        """Return what the cases of a part show."""
        batch = part.read()
        slots = self.unknowns.slots
        total, deep = nothing(slots), self._no_scores()
        aside: list[SetAside] = list(batch.set_aside)
        lightened = 0
        for alike in self._alike(batch.cases, aside):
            met = self._met(alike, aside)
            if met is None:
                continue
            found, whole = met
            total = total + found * len(alike)
            lightened += 0 if whole else len(alike)
            if deep is not None:
                self._enter(deep, found, alike)
        return Told(total, tuple(aside), deep, lightened)

    def _met(
        self, alike: Sequence[ClosedCase], aside: list[SetAside]
    ) -> tuple[Counts, bool] | None:
        """What each of some equal cases shows, and whether all of it was met; none if unfit."""
        try:
            return self._counted(alike[0])
        except (UnknownNameError, UnfitReadingError) as error:
            code, reason = "does-not-fit", str(error)
        except ImpossibleEvidenceError:
            code, reason = "contradicts", "What it holds cannot all be true by the files."
        except TooLargeError as error:
            code, reason = "too-large", str(error)
        aside += [_aside(case, code, reason) for case in alike]
        return None

    def _counted(self, case: ClosedCase) -> tuple[Counts, bool]:
        """What a case shows, without its dearest answers where it is too much at once."""
        unknowns, whole = self.unknowns, True
        while True:
            met = meet(unknowns.subject, self.network, case, unknowns.priors.noted)
            try:
                return counts(unknowns.slots, met, throws=unknowns.throws, work=WORK), whole
            except TooLargeError as error:
                dear = set(error.leave_out)
                among = {
                    (number, answer.finding)
                    for number, round_ in enumerate(case.evidence.rounds)
                    for answer in round_.answers
                    if answer.finding in dear
                }
                less = lighter(case.evidence, (), among)
                if less is None:
                    raise
                case, whole = msgspec.structs.replace(case, evidence=less), False

    def _alike(
        self, cases: Sequence[ClosedCase], aside: list[SetAside]
    ) -> Iterator[list[ClosedCase]]:
        """Yield cases that can be learnt from, equal ones together."""
        found: dict[bytes, list[ClosedCase]] = {}
        for case in cases:
            if case.system != self.unknowns.subject.system.id:
                continue
            if case.ending in UNLOOKED:
                reason = f"It ended as `{case.ending}`: it says nothing of a cause."
                aside.append(_aside(case, "nothing-to-learn", reason))
                continue
            key = msgspec.msgpack.encode((case.evidence, case.confirmed, case.ending))
            found.setdefault(key, []).append(case)
        yield from found.values()

    @cached_property
    def _scorer(self) -> Scorer:
        assert self.calling is not None
        return Scorer(self.unknowns, self.network, self.calling)

    def _no_scores(self) -> Deep | None:
        if self.calling is None:
            return None
        size = len(self.unknowns.all)
        return Deep(np.zeros(size), np.zeros((size, size)), {})

    def _enter(self, deep: Deep, found: Counts, alike: Sequence[ClosedCase]) -> None:
        score, told = self._scorer.scores(found)
        times, names = len(alike), tuple(case.id for case in alike[:NAMED])
        deep.told += told * times
        here = np.flatnonzero(score)
        deep.both[np.ix_(here, here)] += np.outer(score[here], score[here]) * times
        for k in self._scorer.came_true(found):
            deep.named[k] = (*deep.named.get(k, ()), *names)[:NAMED]


def portions(source: Source) -> list[Part]:
    """Return the parts of a source; cases at hand are cut into equal ones."""
    found: list[Part] = []
    for part in source.parts():
        if isinstance(part, CasesAtHand):
            cases = part.cases
            cuts = range(0, len(cases), PORTION)
            found += [CasesAtHand(cases[k : k + PORTION]) for k in cuts]
        else:
            found.append(part)
    return found


def _aside(case: ClosedCase, code: str, reason: str) -> SetAside:
    return SetAside(case.id, code, reason, case.id)
