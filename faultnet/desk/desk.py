"""What every stage of a call works with."""

from dataclasses import dataclass

from faultnet.advice.load import Load, usual_truck
from faultnet.visit.talk import Talk


@dataclass(frozen=True)
class Truck:
    """A truck by its name, with the items that are on it now."""

    name: str
    load: Load


@dataclass(frozen=True)
class Desk(Talk):
    """The system that is talked about on the phone, and the trucks that could be sent.

    Without any truck, what is usually on one is taken.
    """

    trucks: tuple[Truck, ...] = ()

    @property
    def sent(self) -> tuple[Truck, ...]:
        """The trucks that could be sent; the usual one has no name."""
        return self.trucks or (Truck("", usual_truck(self.subject)),)
