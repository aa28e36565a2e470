"""The form of the rates."""

from faultnet.authoring.collection import MapOf
from faultnet.authoring.form import Form, Key
from faultnet.authoring.kind import TERM
from faultnet.authoring.naming import OneOf
from faultnet.authoring.number import AMOUNT, PROBABILITY
from faultnet.model.rates import Call, Rates
from faultnet.model.repair import DISINFECTION
from faultnet.model.stock import CARRIED

_CALL = Form(
    Call,
    {
        "minutes": Key(AMOUNT, says="Minutes that calling somebody adds."),
        "money": Key(AMOUNT, says="Money that calling somebody adds."),
    },
)


RATES = Form(
    Rates,
    {
        "currency": Key(TERM, says="The currency of all money here."),
        "labour-per-hour": Key(AMOUNT, says="Money for an hour of work."),
        "trip": Key(AMOUNT, says="Money for the trip."),
        "second-trip": Key(AMOUNT, says="Money for coming again."),
        "waiting-share": Key(
            PROBABILITY, says="What a minute of waiting costs in minutes of work, from 0 to 1."
        ),
        "after-hours": Key(AMOUNT, None, says="Money for an hour of work out of hours."),
        "calls": Key(
            MapOf(OneOf("qualified", "specialist"), _CALL),
            says="What it takes to call somebody qualified, or the specialist.",
        ),
        "disinfection": Key(MapOf(OneOf(*DISINFECTION), AMOUNT), says="Minutes hands-on by size."),
        "consent-above": Key(
            AMOUNT, None, says="Above this sum the customer is asked before a repair."
        ),
        "carrying": Key(
            MapOf(OneOf(*CARRIED), AMOUNT),
            {},
            says="Minutes to load, take along and bring back, by size.",
        ),
    },
)
