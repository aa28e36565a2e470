"""What came of a trial: `trial`."""

from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING

import msgspec

from faultnet.shapes.version import SCHEMA_VERSION

if TYPE_CHECKING:
    from faultnet.learning.source import SetAside
    from faultnet.learning.trials.summary import Mean
    from faultnet.learning.trials.trial import Calls, Trial


class MeanShape(msgspec.Struct, frozen=True):
    """A mean over the calls, with its 95 % interval."""

    mean: float
    low: float
    high: float


class PolicyShape(msgspec.Struct, frozen=True):
    """The means of a policy over all calls; shares are from 0 to 1."""

    policy: str
    about: str
    means: dict[str, MeanShape]


class AgainstShape(msgspec.Struct, frozen=True):
    """What a policy has less another one, call by call."""

    policy: str
    against: str
    differences: dict[str, MeanShape]


class ComplaintShape(msgspec.Struct, frozen=True):
    """The calls with one complaint, and the mean minutes by policy."""

    complaint: str
    calls: int
    minutes: dict[str, float]


class TrialShape(msgspec.Struct, frozen=True):
    """A trial. ``set_aside`` counts recorded cases that could not be replayed, by reason."""

    schema_version: int
    system: str
    knowledge: str
    knowledge_of_the_world: str
    calls: int
    seed: int
    replayed: bool
    policies: tuple[PolicyShape, ...]
    against: tuple[AgainstShape, ...]
    complaints: tuple[ComplaintShape, ...]
    set_aside: dict[str, int]


def trial_shape(
    trial: "Trial",
    blocks: "Sequence[Calls]",
    rivals: Sequence[str],
    aside: "Sequence[SetAside]" = (),
) -> TrialShape:
    """Return what came of a trial."""
    from faultnet.learning.trials.policies.named import about
    from faultnet.learning.trials.summary import summary

    found = summary(blocks, rivals)
    return TrialShape(
        SCHEMA_VERSION,
        trial.thinks.system.id,
        trial.thinks.knowledge.version,
        trial.truth.knowledge.version,
        found.calls,
        trial.seed,
        bool(trial.recorded),
        tuple(PolicyShape(p.policy, about(p.policy), _means(p.means)) for p in found.policies),
        tuple(AgainstShape(a.policy, a.against, _means(a.differences)) for a in found.against),
        tuple(ComplaintShape(c.complaint, c.calls, c.minutes) for c in found.complaints),
        dict(Counter(each.reason for each in aside)),
    )


def _means(means: "dict[str, Mean]") -> dict[str, MeanShape]:
    return {name: MeanShape(m.mean, m.low, m.high) for name, m in means.items()}
