"""Over all cases beside the knowledge: the numbers most worth asking a colleague about.

The criterion: in how many of the cases the first cause is expected to change, if a number
is as far off as numbers of its provenance are (see ``doubt``). A published figure counts
less since it is less in doubt; a number that many cases hang on counts more.
"""

from collections.abc import Iterable, Iterator

import msgspec

from faultnet.advice.possibilities import UnfitReadingError
from faultnet.advice.subject import UnknownNameError, make_subject
from faultnet.inference.engine import ImpossibleEvidenceError, TooLargeError
from faultnet.model.example import Example
from faultnet.model.knowledge import Knowledge
from faultnet.model.origin import Number
from faultnet.review.sensitivity.authored import Authored, authored
from faultnet.review.sensitivity.common import Common
from faultnet.review.sensitivity.margin import Margin
from faultnet.review.sensitivity.margins import Margins
from faultnet.review.sensitivity.standing import stand

WORK = 2**20
"""Cells that the sweeps of one of many cases may pass through."""
TELLING = 1e-4
"""Chances of a change below this are not kept."""


class InCase(msgspec.Struct, frozen=True):
    """How far a number may move in one case, and which cause is first there."""

    case: str
    first: str
    margin: Margin


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


def over_cases(knowledge: Knowledge, examples: Iterable[Example]) -> Asked:
    """Return the numbers most worth asking about, over cases.

    Flips are those of ``Margins.all_of``: straight lines and odds exactly, how common with
    the factor s held, what is used in several places along its tangent.
    """
    looked_at, left_out = 0, []
    found: dict[Number, list[tuple[Authored, InCase]]] = {}
    for example, margins in _each(knowledge, examples):
        if margins is None:
            left_out.append(example.id)
            continue
        looked_at += 1
        for margin in margins[1]:
            if margin.chance > TELLING:
                case = InCase(example.id, margins[0], margin)
                found.setdefault(margin.number.number, []).append((margin.number, case))
    worth = [_worth(entries) for entries in found.values()]
    worth.sort(key=lambda w: (-w.changes, w.number.line))
    return Asked(looked_at, tuple(left_out), tuple(worth))


def _each(
    knowledge: Knowledge, examples: Iterable[Example]
) -> Iterator[tuple[Example, tuple[str, list[Margin]] | None]]:
    """Yield each case with its first cause and margins, or nothing where it has no ranking."""
    systems: dict[str, tuple[Common, tuple[Authored, ...]]] = {}
    for example in examples:
        if example.system not in systems:
            subject = make_subject(knowledge, example.system)
            systems[example.system] = Common(subject), authored(subject)
        common, numbers = systems[example.system]
        try:
            standing = stand(common.subject, example.evidence, work=WORK)
            yield example, (standing.causes[0], Margins(standing, common).all_of(numbers))
        except (ImpossibleEvidenceError, TooLargeError, UnfitReadingError, UnknownNameError):
            yield example, None


def _worth(entries: list[tuple[Authored, InCase]]) -> Worth:
    cases = sorted((case for _, case in entries), key=lambda c: (c.margin.nearest, c.case))
    return Worth(entries[0][0], sum(case.margin.chance for case in cases), tuple(cases))
