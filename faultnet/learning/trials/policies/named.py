"""The policies by name."""

from collections.abc import Callable

from faultnet.learning.trials.policies.all_knowing import AllKnowing
from faultnet.learning.trials.policies.charted import Charted
from faultnet.learning.trials.policies.looking import CheapestFirst, MostTelling
from faultnet.learning.trials.policies.planned import Planned
from faultnet.learning.trials.policies.repairing import MostProbable, PerMinute
from faultnet.learning.trials.policy import Policy

AHEAD = 6
"""Positions that ``deeper`` looks at where no number is given; about what a few seconds take."""

POLICIES: dict[str, tuple[str, Callable[[str], Policy]]] = {
    "one-step": ("the tool: each step valued with the repairs that follow", Planned),
    "quick": ("the tool, valuing three checks a step", lambda n: Planned(n, examined=3)),
    "deeper": (
        "the tool, looking further ahead; deeper:N looks at N positions",
        lambda n: Planned(n, positions=_number(n, AHEAD)),
    ),
    "chart": (
        "the fixed chart of the first complaint; chart:N goes N answers deep",
        lambda n: Charted(n, _number(n, 6)),
    ),
    "most-probable": ("repairs, the most probable cause first", MostProbable),
    "per-minute": ("repairs, by probability over cost", PerMinute),
    "cheapest-check": ("the cheapest check first", CheapestFirst),
    "most-telling": ("the check that tells most for each minute", MostTelling),
    "all-knowing": ("perfect knowledge: the floor", AllKnowing),
}
"""Name to what it does, and what makes it."""


class UnknownPolicyError(ValueError):
    """A policy that nobody knows, with those that there are."""

    def __init__(self, name: str) -> None:
        self.name = name
        super().__init__(f"There is no policy `{name}`. There are: {', '.join(POLICIES)}.")


def policy_of(name: str) -> Policy:
    """Return a policy by its name, perhaps with a number; raise ``UnknownPolicyError``."""
    kind, _, number = name.partition(":")
    fits = (not number and ":" not in name) or (kind in {"deeper", "chart"} and number.isdecimal())
    if kind not in POLICIES or not fits or number == "0":
        raise UnknownPolicyError(name)
    return POLICIES[kind][1](name)


def _number(name: str, usual: int) -> int:
    return int(name.partition(":")[2] or usual)


def about(name: str) -> str:
    """Return what a policy does."""
    return POLICIES[name.partition(":")[0]][0]
