"""What is looked at on arrival, before anything is touched."""

import msgspec

from faultnet.model.condition import When
from faultnet.model.origin import Origin


class Shown(msgspec.Struct, frozen=True):
    """One way it can be found; ``says`` maps findings and layout to what it amounts to."""

    id: str
    title: str
    says: dict[str, str] = {}


class Look(msgspec.Struct, frozen=True):
    """A look at the state as found: one of some answers, or a number in a unit."""

    id: str
    title: str
    ask: str
    origin: Origin
    answers: tuple[Shown, ...] = ()
    unit: str = ""
    only_when: When = {}

    def shown(self, answer: str) -> Shown | None:
        """Return the answer of an id."""
        return next((each for each in self.answers if each.id == answer), None)
