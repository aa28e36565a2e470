"""The ranked causes: `rank`."""

from typing import TYPE_CHECKING

import msgspec

from faultnet.shapes.evidence import EvidenceShape, evidence_shape
from faultnet.shapes.warnings import DangerShape, SaidShape, conflict_shape, dangers_shape

if TYPE_CHECKING:
    from faultnet.advice.ranking import Ranking
    from faultnet.model.evidence import Evidence


class CauseShape(msgspec.Struct, frozen=True):
    """A cause with its own probability; ``group`` names those that look alike."""

    id: str
    title: str
    probability: float
    group: str | None


class GroupShape(msgspec.Struct, frozen=True):
    """Causes that no cheap finding parts: P(any of them), and the check that parts them."""

    id: str
    causes: tuple[str, ...]
    probability: float
    parted_by: str


class RankShape(msgspec.Struct, frozen=True):
    """Causes, likeliest first; several can be there at once.

    ``unlisted`` is P(something not in these files). With a ``conflict`` the evidence is
    impossible and nothing is ranked. ``region`` is the one whose numbers are in use, if any.
    """

    system: str
    evidence: EvidenceShape
    evidence_probability: float
    causes: tuple[CauseShape, ...]
    groups: tuple[GroupShape, ...]
    unlisted: float
    more_than_one: float
    dangers: tuple[DangerShape, ...]
    conflict: tuple[SaidShape, ...]
    region: str


def rank_shape(ranking: "Ranking", known: "Evidence", limit: int | None = None) -> RankShape:
    """Return a ranking, with the first causes only where there is a limit."""
    return RankShape(
        system=ranking.system,
        evidence=evidence_shape(known),
        evidence_probability=ranking.evidence_probability,
        causes=tuple(
            CauseShape(cause.id, cause.title, cause.probability, cause.group or None)
            for cause in ranking.causes[:limit]
        ),
        groups=tuple(
            GroupShape(group.id, group.causes, group.probability, group.parted_by)
            for group in ranking.groups
        ),
        unlisted=ranking.unlisted,
        more_than_one=ranking.more_than_one,
        dangers=dangers_shape(ranking.dangers),
        conflict=conflict_shape(ranking.conflict),
        region=ranking.region,
    )
