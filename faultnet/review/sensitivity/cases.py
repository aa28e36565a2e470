"""Over all cases beside the knowledge: the numbers most worth asking a colleague about.

The criterion: in how many of the cases the first cause is expected to change, if a number
is as far off as numbers of its provenance are (see ``doubt``). A published figure counts
less since it is less in doubt; a number that many cases hang on counts more.
"""

from collections.abc import Iterable, Iterator, Sequence

import msgspec

from faultnet.advice.authored import Authored, authored
from faultnet.advice.possibilities import UnfitReadingError
from faultnet.advice.subject import UnknownNameError, make_subject
from faultnet.inference.engine import ImpossibleEvidenceError, TooLargeError
from faultnet.model.example import Example
from faultnet.model.knowledge import Knowledge
from faultnet.model.origin import Number
from faultnet.review.sensitivity.common import Common
from faultnet.review.sensitivity.margin import Margin
from faultnet.review.sensitivity.margins import Margins
from faultnet.review.sensitivity.standing import stand
from faultnet.sharing.workers import answered

WORK = 2**20
"""Cells that the sweeps of one of many cases may pass through."""
TELLING = 1e-4
"""Chances of a change below this are not kept."""


class InCase(msgspec.Struct, frozen=True):
    """How far a number may move in one case, and which cause is first there."""

    case: str
    first: str
    margin: Margin


class Looked(msgspec.Struct, frozen=True):
    """A case with its first cause and the numbers it may hang on; no cause: no ranking."""

    case: str
    first: str = ""
    margins: tuple[Margin, ...] = ()


class Worth(msgspec.Struct, frozen=True):
    """A number with the cases that hang on it, the nearest flip first.

    ``changes`` is the number of cases whose first cause is expected to change.
    """

    number: Authored
    changes: float
    cases: tuple[InCase, ...]


class Asked(msgspec.Struct, frozen=True):
    """The numbers most worth asking about, best first, and what was looked at.

    ``cases`` counts those that were looked at; ``left_out`` names the others.
    """

    cases: int
    left_out: tuple[str, ...]
    worth: tuple[Worth, ...]


class Looker:
    """Looks at cases of one knowledge; it can be sent to a process of its own."""

    def __init__(self, knowledge: Knowledge) -> None:
        """Keep the knowledge; systems are made ready when they are first met."""
        self._knowledge = knowledge
        self._systems: dict[str, tuple[Common, tuple[Authored, ...]]] = {}

    def __call__(self, example: Example) -> Looked:
        """Return what hangs on which number in a case."""
        common, numbers = self._system(example.system)
        try:
            standing = stand(common.subject, example.evidence, work=WORK)
            margins = Margins(standing, common).all_of(numbers)
        except (ImpossibleEvidenceError, TooLargeError, UnfitReadingError, UnknownNameError):
            return Looked(example.id)
        telling = tuple(margin for margin in margins if margin.chance > TELLING)
        return Looked(example.id, standing.causes[0], telling)

    def _system(self, system: str) -> tuple[Common, tuple[Authored, ...]]:
        if system not in self._systems:
            subject = make_subject(self._knowledge, system)
            self._systems[system] = Common(subject), authored(subject)
        return self._systems[system]


def look(knowledge: Knowledge, examples: Sequence[Example], workers: int = 1) -> Iterator[Looked]:
    """Yield what hangs on which number, case by case, shared among so many processes.

    Flips are those of ``Margins.all_of``: straight lines and odds exactly, how common with
    the factor s held, what is used in several places along its tangent.
    """
    return answered(Looker(knowledge), examples, workers)


def over_cases(looked: Iterable[Looked]) -> Asked:
    """Return the numbers most worth asking about, over cases that were looked at."""
    count, left_out = 0, []
    found: dict[Number, list[tuple[Authored, InCase]]] = {}
    for each in looked:
        if not each.first:
            left_out.append(each.case)
            continue
        count += 1
        for margin in each.margins:
            case = InCase(each.case, each.first, margin)
            found.setdefault(margin.number.number, []).append((margin.number, case))
    worth = [_worth(entries) for entries in found.values()]
    worth.sort(key=lambda w: (-w.changes, w.number.line))
    return Asked(count, tuple(left_out), tuple(worth))


def _worth(entries: list[tuple[Authored, InCase]]) -> Worth:
    cases = sorted((case for _, case in entries), key=lambda c: (c.margin.nearest, c.case))
    return Worth(entries[0][0], sum(case.margin.chance for case in cases), tuple(cases))
