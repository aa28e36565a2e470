"""Money as a dispatcher tells it: the trip and its first hour, with the rest behind it."""

import msgspec

from faultnet.model.origin import Number
from faultnet.model.rates import Rates


class Price(msgspec.Struct, frozen=True):
    """A sum with where it comes from; ``judgement`` marks one without a source."""

    money: float
    judgement: bool


class Prices(msgspec.Struct, frozen=True):
    """What the customer is told; ``others`` is by who has to be called besides.

    ``first_hour`` has the trip in it. ``after_hours`` is per hour, None where none is set.
    """

    currency: str
    first_hour: Price
    trip: Price
    hour: Price
    second_trip: Price
    after_hours: Price | None
    others: dict[str, Price]


def prices_of(rates: Rates) -> Prices:
    """Return the prices of a visit."""
    trip, hour = _price(rates.trip), _price(rates.labour_per_hour)
    return Prices(
        rates.currency,
        Price(trip.money + hour.money, trip.judgement or hour.judgement),
        trip,
        hour,
        _price(rates.second_trip),
        _price(rates.after_hours) if rates.after_hours else None,
        {who: _price(call.money) for who, call in rates.calls.items()},
    )


def trip_minutes(rates: Rates) -> float:
    """Return what the trip and its first hour cost, in minutes of work."""
    hour = max(rates.labour_per_hour.value, 1e-9)
    return (rates.trip.value + hour) / hour * 60.0


def judged(number: Number) -> bool:
    """Whether a number has no source but judgement."""
    return "judgement" in number.provenance


def _price(number: Number) -> Price:
    return Price(number.value, judged(number))
