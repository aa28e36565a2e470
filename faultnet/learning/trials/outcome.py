"""What came of one call under one policy."""

import msgspec

from faultnet.learning.closed import StepKind
from faultnet.model.evidence import Evidence


class Done(msgspec.Struct, frozen=True):
    """A step that was done in a round (from 0), on the phone or at the site, with its minutes."""

    id: str
    kind: StepKind
    round: int
    minutes: float
    phone: bool = False
    mended: tuple[str, ...] = ()


class Outcome(msgspec.Struct, frozen=True):
    """One call from the first word to the end.

    ``minutes`` holds every step, what was loaded besides, and the trips. ``trips`` counts
    journeys, the specialist's too. ``made_safe`` counts dangers that came to light and were
    made safe before the next step; ``barred`` steps that were picked and not done, because
    whoever was there may not do them; ``left_out`` answers that were left out because they
    conflicted with others or were too much at once. ``causes`` were there, ``found`` of them
    were mended and what was ``left`` made the complaints when the specialist came.
    """

    number: int
    policy: str
    complaint: str
    causes: tuple[str, ...]
    minutes: float
    trips: int
    steps: tuple[Done, ...]
    specialist: bool
    found: tuple[str, ...]
    left: tuple[str, ...]
    made_safe: int
    barred: int
    left_out: int
    loaded: tuple[str, ...]
    evidence: Evidence

    @property
    def by_phone(self) -> bool:
        """Whether it was mended with nobody driving there."""
        return self.trips == 0

    @property
    def first_visit(self) -> bool:
        """Whether it was mended on the phone or at the first visit."""
        return self.trips <= 1 and not self.specialist
