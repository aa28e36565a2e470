"""Accepted offers made ready: the files read back, judged, and their sums looked at."""

from collections.abc import Sequence
from math import floor, log10

import msgspec

from faultnet.authoring.examples import examples_of
from faultnet.authoring.files import CASES
from faultnet.authoring.lint import FEWEST_CAUSES, MOST_CAUSES, causes_per_call
from faultnet.authoring.problem import Problem
from faultnet.authoring.whole import Whole
from faultnet.authoring.writing.spot import CannotWriteHereError
from faultnet.learning.proposal.files import Accepted, accepted
from faultnet.learning.proposal.held import held_by
from faultnet.learning.proposal.offer import Offer
from faultnet.learning.proposal.run import Run
from faultnet.model.example import Example
from faultnet.model.knowledge import Knowledge
from faultnet.model.system import System
from faultnet.review.facts import facts

INSIDE = 0.005
"""How far inside the range a sum is brought, as a share: rounding may take some of it."""
FARTHEST = 2.0
"""The largest factor that commonness is moved by for the sake of a sum."""


class Before(msgspec.Struct, frozen=True):
    """The files as they are, what they say, and what lint tells of them."""

    whole: Whole
    knowledge: Knowledge
    problems: tuple[Problem, ...]


class Prepared(msgspec.Struct, frozen=True):
    """The files as they would be, and what loader and lint tell of them that is new.

    ``knowledge`` is what the files would say; None where an error stands.
    """

    accepted: Accepted
    knowledge: Knowledge | None
    problems: tuple[Problem, ...]


def prepare(before: Before, offers: Sequence[Offer], run: Run) -> Prepared:
    """Return the files with offers accepted, nothing written.

    Raises ``CannotWriteHereError`` where a file is laid out so that another number would change.
    """
    prepared = _judged(before, offers, run)
    if prepared.knowledge is not None:
        kept = in_range(offers, before.knowledge, prepared.knowledge, run.system)
        if kept != tuple(offers):
            prepared = _judged(before, kept, run)
    if prepared.knowledge is not None:
        _read_back(prepared.accepted, prepared.knowledge, run.system)
        if prepared.accepted.changes:
            told = (*prepared.problems, *_new_facts(before, prepared.knowledge))
            prepared = msgspec.structs.replace(prepared, problems=told)
    return prepared


def in_range(
    offers: Sequence[Offer], before: Knowledge, after: Knowledge, system: str
) -> tuple[Offer, ...]:
    """Return offers with their commonness moved alike, where its sum left what lint accepts.

    Where the sum lay outside already, or could not be mended so, they stay as they are.
    """
    now = after.systems[system]
    total, rest = causes_per_call(now, after), _without(offers, after, now)
    bound = FEWEST_CAUSES * (1 + INSIDE) if total < FEWEST_CAUSES else MOST_CAUSES * (1 - INSIDE)
    sound = FEWEST_CAUSES <= total <= MOST_CAUSES or now.faults != "several"
    was = causes_per_call(before.systems[system], before)
    if sound or not FEWEST_CAUSES <= was <= MOST_CAUSES or total <= rest:
        return tuple(offers)
    by = (bound - rest) / (total - rest)
    if not 1.0 / FARTHEST <= by <= FARTHEST:
        return tuple(offers)
    note = (
        f"Times {by:.3g}, as all that is common here: the causes of {system} come to "
        f"{FEWEST_CAUSES} to {MOST_CAUSES} a call."
    )
    return tuple(_times(offer, by, note) if _is_common(offer) else offer for offer in offers)


def _judged(before: Before, offers: Sequence[Offer], run: Run) -> Prepared:
    found = accepted(before.whole, before.knowledge, offers, run)
    knowledge, problems = found.after(before.whole).judged()
    known = {(each.code, each.entity) for each in before.problems}
    new = tuple(each for each in problems if (each.code, each.entity) not in known)
    return Prepared(found, knowledge, new)


def examples_in(whole: Whole, knowledge: Knowledge) -> tuple[Example, ...]:
    """Return the sound cases beside the knowledge."""
    files = tuple(file for file in whole.files if file.name.endswith(CASES))
    return examples_of(files, (), knowledge)[0]


def _new_facts(before: Before, after: Knowledge) -> tuple[Problem, ...]:
    """What is told of the knowledge as a whole that was not told before."""
    old, new = (facts(k, examples_in(before.whole, k)) for k in (before.knowledge, after))
    known = {(each.code, each.entity) for each in old}
    told = tuple(each for each in new if (each.code, each.entity) not in known)
    taken = {(each.entity, each.code) for each in after.accepted}
    return tuple(each for each in told if (each.entity, each.code) not in taken)


def _read_back(found: Accepted, after: Knowledge, system: str) -> None:
    """Look that the files say what was accepted."""
    said = {held.id: held.numbers for held in held_by(after, after.systems[system]).values()}
    for offer in found.offers:
        values = [number.value for number in said.get(offer.id, ())]
        wanted = [each.value for each in offer.written]
        if len(values) != len(wanted) or any(
            abs(a - b) > 1e-6 for a, b in zip(values, wanted, strict=True)
        ):
            raise CannotWriteHereError(f"`{offer.id}` cannot be written in its place safely.")


def _is_common(offer: Offer) -> bool:
    return any(w.proposed is not None and w.proposed.kind == "how-common" for w in offer.written)


def _without(offers: Sequence[Offer], after: Knowledge, system: System) -> float:
    """What the causes come to that nothing is accepted of."""
    named = {offer.of for offer in offers if _is_common(offer)}
    causes = {name: cause for name, cause in after.causes.items() if name not in named}
    total = causes_per_call(system, msgspec.structs.replace(after, causes=causes))
    return total - (system.unlisted.how_common.value if system.id in named else 0.0)


def _times(offer: Offer, by: float, note: str) -> Offer:
    written = tuple(
        msgspec.structs.replace(each, value=_three(min(each.value * by, 1.0)))
        for each in offer.written
    )
    return msgspec.structs.replace(offer, written=written, notes=(*offer.notes, note))


def _three(value: float) -> float:
    """A number with three digits that mean something."""
    return round(value, 2 - floor(log10(value))) if value > 0.0 else 0.0
