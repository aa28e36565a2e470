"""What tells of the customer is left out of an anonymous case; a new field has to be thought of."""

import pytest

from faultnet.cases import events as e
from faultnet.cases.anonymous import _OF_CUSTOMER, anonymous
from faultnet.cases.entry import Writer

TELLS_NOTHING = {
    *("about", "amount", "answer", "case", "cause", "causes", "corrects", "currency", "event"),
    *("finding", "findings", "follows", "how", "instead_of", "knowledge", "layout", "look"),
    *("number", "outcome", "parts", "procedure", "proof", "reading", "reason", "redraws"),
    *("repair", "round", "set_ups", "settings", "stage", "step", "system", "unit", "unlisted"),
    *("value", "who", "works", "part", "dose", "minutes", "sampled", "declined", "licence"),
    *("date", "field", "role"),
}
"""Fields that hold numbers, or ids of the knowledge and of cases."""

EVENTS = sorted(e.Event.__subclasses__(), key=lambda kind: kind.__name__)


@pytest.mark.parametrize("kind", EVENTS, ids=lambda kind: kind.__name__)
def test_every_field_is_left_out_or_tells_nothing(kind):
    left = set(kind.__struct_fields__) - set(_OF_CUSTOMER.get(kind, ()))
    if kind is not e.Named:
        left -= {"speaker"}  # caller or technician; only of a site it is a name
    assert left <= TELLS_NOTHING


def test_an_anonymous_entry_keeps_its_place_and_loses_the_words():
    entry = Writer("anna@phone").begin(e.Named("Mill at Orquay", "Orquay 3", "0555 0101"))
    without = anonymous(entry)
    assert without.event == e.Named("")
    assert (without.id, without.log, without.at) == (entry.id, entry.log, entry.at)
