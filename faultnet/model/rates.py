"""Money, and the people who must be called."""

import msgspec

from faultnet.model.origin import Number


class Call(msgspec.Struct, frozen=True):
    """What calling somebody adds."""

    minutes: Number
    money: Number


class Rates(msgspec.Struct, frozen=True):
    """Labour per hour, trips, and hands-on minutes of each size of disinfection.

    ``waiting_share`` is what a minute of waiting costs in minutes of work (0 to 1);
    ``carrying`` the minutes that an item costs to load, take along and bring back;
    ``consent_above`` the money above which the customer is asked first.
    """

    currency: str
    labour_per_hour: Number
    trip: Number
    second_trip: Number
    waiting_share: Number
    calls: dict[str, Call]
    disinfection: dict[str, Number]
    after_hours: Number | None = None
    carrying: dict[str, Number] = {}
    consent_above: Number | None = None
