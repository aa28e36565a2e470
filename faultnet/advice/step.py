"""What advice consists of: priced steps."""

import msgspec

from faultnet.advice.conflict import Said
from faultnet.advice.dangers import DangerMet
from faultnet.advice.site import Transition


class Outcome(msgspec.Struct, frozen=True):
    """A joint answer of a check with its probability."""

    answers: dict[str, str]
    probability: float


class Step(msgspec.Struct, frozen=True):
    """A priced step, all in minutes.

    ``price`` is what it costs by itself, set-ups included; ``expected_total`` adds
    what is expected to follow.
    """

    id: str
    kind: str
    title: str
    minutes: float
    waiting: float
    price: float
    expected_total: float
    who: str
    setups: tuple[Transition, ...] = ()
    outcomes: tuple[Outcome, ...] = ()
    cautions: tuple[str, ...] = ()
    do: tuple[str, ...] = ()
    reason: str = ""


class Advice(msgspec.Struct, frozen=True):
    """Priced steps, best first, with the floor: the cost if the causes were known.

    ``considered`` checks could be done, ``examined`` of them were valued. Unless
    ``exact``, plans after an answer were valued with unknown roots averaged out.
    """

    system: str
    unit: str
    dangers: tuple[DangerMet, ...]
    steps: tuple[Step, ...]
    floor: float
    considered: int = 0
    examined: int = 0
    exact: bool = False
    conflict: tuple[Said, ...] = ()
