"""The ranking: how likely each cause is, given all that is known."""

from collections.abc import Sequence

import msgspec

from faultnet.advice.conflict import Said
from faultnet.advice.dangers import DangerMet, dangers_met
from faultnet.advice.grounds import grounds
from faultnet.advice.subject import Subject
from faultnet.inference.engine import ImpossibleEvidenceError
from faultnet.inference.query import Query
from faultnet.inference.rows import Row
from faultnet.model.evidence import Evidence
from faultnet.network.build import UNLISTED

RARE = 1e-6
"""Below this, one less the chance of absence has too few digits left."""


class RankedCause(msgspec.Struct, frozen=True):
    """A cause with its probability, and its group when others look alike."""

    id: str
    title: str
    probability: float
    group: str = ""


class RankedGroup(msgspec.Struct, frozen=True):
    """Causes that no cheap finding parts: P(any of them), and the check that parts them."""

    id: str
    causes: tuple[str, ...]
    probability: float
    parted_by: str


class Ranking(msgspec.Struct, frozen=True):
    """Causes by their own probability, likeliest first; the unlisted one apart.

    ``more_than_one`` is P(two causes or more), those brought along included.
    With a conflict the evidence is impossible and nothing is ranked. ``region`` is the one whose
    numbers are in use, if any.
    """

    system: str
    evidence_probability: float
    causes: tuple[RankedCause, ...]
    groups: tuple[RankedGroup, ...]
    unlisted: float
    more_than_one: float
    dangers: tuple[DangerMet, ...]
    conflict: tuple[Said, ...] = ()
    region: str = ""


class Likeliest(msgspec.Struct, frozen=True):
    """Causes by their own probability, likeliest first, and no more: half a ranking's work."""

    causes: tuple[RankedCause, ...]
    unlisted: float
    dangers: tuple[DangerMet, ...]
    conflict: tuple[Said, ...] = ()


def rank(subject: Subject, evidence: Evidence) -> Ranking:
    """Return the ranking.

    Raises ``UnknownNameError``, ``UnfitReadingError`` and ``TooLargeError``.
    """
    dangers = dangers_met(subject, evidence)
    system, region = subject.system.id, subject.knowledge.region
    on = grounds(subject, evidence)
    query = on.query
    try:
        beliefs = believe(subject, query)
    except ImpossibleEvidenceError:
        return Ranking(system, 0.0, (), (), 0.0, 0.0, dangers, on.conflict, region)
    groups = _groups(subject, query, beliefs)
    return Ranking(
        system,
        beliefs.total,
        _by_probability(subject, beliefs, groups),
        tuple(sorted(groups, key=lambda g: -g.probability)),
        beliefs.causes[UNLISTED],
        _more_than_one(query, beliefs.total),
        dangers,
        region=region,
    )


def likeliest(subject: Subject, evidence: Evidence) -> Likeliest:
    """Return the causes as ``rank`` has them, with nothing said of groups and of two at once.

    Raises ``UnknownNameError``, ``UnfitReadingError`` and ``TooLargeError``.
    """
    dangers = dangers_met(subject, evidence)
    beliefs = beliefs_of(subject, evidence)
    if beliefs is None:
        return Likeliest((), 0.0, dangers, grounds(subject, evidence).conflict)
    return Likeliest(_by_probability(subject, beliefs), beliefs.causes[UNLISTED], dangers)


def _by_probability(
    subject: Subject, beliefs: "Beliefs", groups: Sequence[RankedGroup] = ()
) -> tuple[RankedCause, ...]:
    group_of = {cause: group.id for group in groups for cause in group.causes}
    causes = [
        RankedCause(cause, subject.title(cause), chance, group_of.get(cause, ""))
        for cause, chance in beliefs.causes.items()
        if cause != UNLISTED
    ]
    return tuple(sorted(causes, key=lambda c: (-c.probability, c.id)))


class Beliefs(msgspec.Struct, frozen=True):
    """P(present now) by cause id, P(state) by root index, and P(evidence)."""

    causes: dict[str, float]
    roots: dict[int, tuple[float, ...]]
    total: float


def beliefs_of(subject: Subject, evidence: Evidence) -> Beliefs | None:
    """Return what evidence says about causes and roots; None where it is impossible.

    Raises ``UnknownNameError``, ``UnfitReadingError`` and ``TooLargeError``.
    """
    try:
        return believe(subject, grounds(subject, evidence).query)
    except ImpossibleEvidenceError:
        return None


def believe(subject: Subject, query: Query, *, brought: bool = True) -> Beliefs:
    """Return what the evidence says about causes and roots.

    Without ``brought``, a cause counts only as far as it came of itself.

    Raises ``ImpossibleEvidenceError`` and ``TooLargeError``.
    """
    masses = query.masses()
    total = masses.total
    chances = {c.id: masses.causes[k] / total for k, c in enumerate(subject.network.causes)}
    followers = sorted({b.cause for c in subject.network.causes for b in c.brings if brought})
    without = query.weigh([Row(absent=(cause,)) for cause in followers])
    for cause, weight in zip(followers, without, strict=True):
        present = 1.0 - weight / total
        if present < RARE:
            present = query.weigh_present(cause) / total if query.can_be(cause) else 0.0
        name = subject.network.causes[cause].id
        chances[name] = min(max(float(present), chances[name]), 1.0)
    roots = {}
    for index, root in enumerate(subject.network.roots):
        known = query.known.get(index)
        if known is not None:
            roots[index] = tuple(float(k == known) for k in range(len(root.states)))
        else:
            roots[index] = tuple(float(m / total) for m in masses.roots[index])
    return Beliefs(chances, roots, total)


def _groups(subject: Subject, query: Query, beliefs: Beliefs) -> list[RankedGroup]:
    found = []
    for entry in subject.knowledge.look_alikes.values():
        members = tuple(c for c in entry.causes if c in beliefs.causes)
        if len(members) > 1:
            found.append((entry, members))
    rows = [Row(absent=tuple(subject.causes[c] for c in members)) for _, members in found]
    without = query.weigh(rows)
    return [
        RankedGroup(
            entry.id, members, max(0.0, float(1.0 - weight / beliefs.total)), entry.parted_by
        )
        for (entry, members), weight in zip(found, without, strict=True)
    ]


def _more_than_one(query: Query, total: float) -> float:
    if query.network.faults == "one":
        return 0.0
    if query.network.faults == "several":
        more = 1.0 - query.weigh_one() / total
        if more > RARE:
            return more
    weights = Query(query.network, query.observed, count_two=True).tally_weights()
    return float(weights[2] / weights[1:].sum())
