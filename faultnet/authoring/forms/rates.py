"""The form of the rates."""

from faultnet.authoring.collection import MapOf
from faultnet.authoring.form import Form, Key
from faultnet.authoring.kind import TERM
from faultnet.authoring.naming import one_of
from faultnet.authoring.number import AMOUNT, PROBABILITY
from faultnet.model.rates import Call, Rates
from faultnet.model.repair import DISINFECTION
from faultnet.model.stock import CARRIED

_CALL = Form(Call, {"minutes": Key(AMOUNT), "money": Key(AMOUNT)})


RATES = Form(
    Rates,
    {
        "currency": Key(TERM),
        "labour-per-hour": Key(AMOUNT),
        "trip": Key(AMOUNT),
        "second-trip": Key(AMOUNT),
        "waiting-share": Key(PROBABILITY),
        "after-hours": Key(AMOUNT, None),
        "calls": Key(MapOf(one_of("qualified", "specialist"), _CALL)),
        "disinfection": Key(MapOf(one_of(*DISINFECTION), AMOUNT)),
        "consent-above": Key(AMOUNT, None),
        "carrying": Key(MapOf(one_of(*CARRIED), AMOUNT), {}),
    },
)
