"""How often somebody drove to the site, by who wrote what and when."""

from faultnet.cases import events as e
from faultnet.cases.case import Case, Sitting
from faultnet.cases.entry import seconds_of

AWAY = 4 * 3600.0
"""Seconds without a word from somebody at the pump after which they came again (judgement)."""

_AT_PUMP = (
    e.Told,
    e.Measured,
    e.PartRead,
    e.AsFound,
    e.StepBegun,
    e.StepDone,
    e.SetUpMade,
    e.SetUpUndone,
    e.RepairDone,
    e.Confirmed,
    e.Works,
    e.Proved,
    e.ProcedureStepDone,
)
"""What is done where the pump stands, by whoever speaks as a technician."""


def trips_of(case: Case) -> int:
    """Return the journeys to the site: none where all was said on the phone.

    Each technician's first word is a journey, and each that follows ``AWAY`` later.
    """
    sittings: dict[str, Sitting] = {}
    last: dict[str, float] = {}
    trips = 0
    for each in case.entries:
        author, event = each.entry.author, each.entry.event
        if isinstance(event, e.Opened | e.Joined):
            sittings[author] = Sitting(event.who, event.speaker)
        there = sittings.get(author, Sitting()).speaker == "technician"
        if there and isinstance(event, _AT_PUMP):
            now = seconds_of(each.entry.at)
            trips += author not in last or now - last[author] > AWAY
            last[author] = now
    return trips
