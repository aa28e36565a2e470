"""Numbers that stand beside the network: what a speaker's word is worth, and repairs that fail.

A weight is a polynomial in such a number, of as many degrees as it is used in the case. As
many values and one more give all of it, slope included.
"""

from collections.abc import Iterator

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.advice.authored import ALWAYS, NEVER, Authored
from faultnet.advice.observe import counted, observe
from faultnet.advice.subject import Subject
from faultnet.inference.query import Query
from faultnet.inference.rows import Row
from faultnet.model.evidence import Evidence
from faultnet.model.origin import Number
from faultnet.review.sensitivity.moved import Moved
from faultnet.review.sensitivity.standing import Standing

Array = npt.NDArray[np.float64]


class Polynomial(msgspec.Struct, frozen=True, eq=False):
    """Weights by row as a polynomial in a number from 0 to 1, in Chebyshev's terms."""

    terms: Array

    def at(self, value: float) -> Array:
        """Return the weights at a value."""
        return np.asarray(np.polynomial.chebyshev.chebval(2.0 * value - 1.0, self.terms))

    def slope(self, value: float) -> Array:
        """Return how the weights grow there."""
        steep = np.polynomial.chebyshev.chebder(self.terms)
        return np.asarray(2.0 * np.polynomial.chebyshev.chebval(2.0 * value - 1.0, steep))


def said(subject: Subject, evidence: Evidence) -> dict[Authored, int]:
    """Return the numbers that evidence was weighed with, and how often each was used."""
    uses: dict[Number, list[str]] = {}
    for number, about in _used(subject, evidence):
        if NEVER < number.value < ALWAYS:
            uses.setdefault(number, []).append(about)
    return {Authored(n, "chance", _told(told)): len(told) for n, told in uses.items()}


def polynomial(standing: Standing, number: Authored, degree: int, moved: Moved) -> Polynomial:
    """Return the weights of all rows by a number that stands beside the network."""
    count = degree + 1
    nodes = np.cos((np.arange(count) + 0.5) * np.pi / count)
    rows = [weighed(standing, number, float(x + 1.0) / 2.0, moved) for x in nodes]
    terms = np.polynomial.chebyshev.chebfit(nodes, np.array(rows), degree)
    return Polynomial(terms.astype(np.float64))


def weighed(standing: Standing, number: Authored, value: float, moved: Moved) -> Array:
    """Return the weights of all rows with a number beside the network changed."""
    changed = moved.subject(standing.subject, number.number, value)
    query = Query(standing.subject.network, observe(changed, standing.evidence))
    if query.statuses.impossible:
        return np.zeros(len(standing.causes) + 1)
    absent = [Row(absent=(standing.subject.causes[c],)) for c in standing.causes]
    return query.weigh([Row(), *absent])


def _used(subject: Subject, evidence: Evidence) -> Iterator[tuple[Number, str]]:
    words = subject.knowledge.words.trust
    for round_ in evidence.rounds:
        for answer in counted(round_):
            own = subject.knowledge.findings[answer.finding].trust.get(answer.speaker)
            trust = own or words[answer.speaker]
            about = f"{answer.finding}, " if own else ""
            yield trust.hit, f"{about}word of a {answer.speaker}: hit"
            yield trust.false_alarm, f"{about}word of a {answer.speaker}: false alarm"
    for round_ in evidence.rounds[:-1]:
        for name in round_.repairs:
            repair = subject.knowledge.repairs[name]
            own_chance = repair.succeeds != subject.knowledge.words.repair_succeeds
            for _ in range(_mendings(subject, name)):
                yield repair.succeeds, f"{name}: succeeds" if own_chance else "a repair succeeds"
            for cause, chance in repair.brings.items():
                if cause in subject.causes:
                    yield chance, f"{name} brings in {cause}"


def _mendings(subject: Subject, repair: str) -> int:
    """How many presences of causes a repair mends at most: of themselves, and brought along."""
    mended = subject.mended_by.get(repair, ())
    brought = [b.cause for cause in subject.network.causes for b in cause.brings]
    return len(mended) + sum(brought.count(cause) for cause in mended)


def _told(uses: list[str]) -> str:
    return uses[0] if len(set(uses)) == 1 else f"{uses[0]}, and {len(uses) - 1} more"
