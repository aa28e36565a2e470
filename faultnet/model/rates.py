"""Money, and the people who must be called."""

import msgspec

from faultnet.model.origin import Number


class Call(msgspec.Struct, frozen=True):
    """What calling somebody adds."""

    minutes: Number
    money: Number


class Rates(msgspec.Struct, frozen=True):
    """Labour per hour, trips, and hands-on minutes of each size of disinfection."""

    currency: str
    labour_per_hour: Number
    trip: Number
    second_trip: Number
    calls: dict[str, Call]
    disinfection: dict[str, Number]
    after_hours: Number | None = None
