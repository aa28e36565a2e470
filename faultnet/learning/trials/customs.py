"""What goes on in a trial whatever the policy; all of it is judgement but for the rates."""

import msgspec

from faultnet.advice.imagined import Manner
from faultnet.advice.load import Load
from faultnet.advice.subject import Subject
from faultnet.model.origin import Number


class Customs(msgspec.Struct, frozen=True):
    """How calls go.

    ``manner`` is how callers tell. With ``phone``, at most ``asks`` things are asked of a
    caller before somebody drives, and each is declined with the chance ``refuses``. After
    ``patience`` picks that nobody there may do, the call is handed over. ``trips`` says
    whether journeys cost their minutes: the money of ``rates.yaml`` at the price of an hour.
    Where evidence needs more than ``cells`` cells, an answer is left out, as a visit would
    ask for.
    """

    manner: Manner = Manner()
    phone: bool = True
    asks: int = 3
    refuses: float = 0.25
    patience: int = 20
    trips: bool = True
    cells: int = 2**18

    def trip(self, truth: Subject) -> float:
        """Minutes of the first journey."""
        return self._minutes(truth, truth.knowledge.rates.trip)

    def second_trip(self, truth: Subject) -> float:
        """Minutes of another journey."""
        return self._minutes(truth, truth.knowledge.rates.second_trip)

    def loading(self, truth: Subject, load: Load) -> float:
        """Minutes to load what was not on the truck, and to bring it back."""
        knowledge = truth.knowledge
        carried = [knowledge.stock[item].carried for item in load if item in knowledge.stock]
        rates = knowledge.rates.carrying
        return sum(rates[kind].value for kind in carried if kind in rates)

    def _minutes(self, truth: Subject, money: Number) -> float:
        return (
            money.value / max(truth.knowledge.rates.labour_per_hour.value, 1e-9) * 60.0 * self.trips
        )


USUAL = Customs()
"""How calls usually go."""
