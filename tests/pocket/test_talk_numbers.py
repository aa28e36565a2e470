"""The keypad: what a turn wants to be typed as numbers."""

from math import isclose

import pytest

from faultnet.pocket.talk.answering import Talking
from faultnet.pocket.talk.pad import BESIDE, DECIMALS
from faultnet.reckon.units import UNITS, converted
from faultnet.visit.readings import numbers_of
from tests.pocket.phone import Phone
from tests.pocket.walker import Asking, Clock

ANNA = "anna@0123456789ab"
CISTERN = "jet-pump-cistern"
BAR = 6894.757 / 1e5
"""Bar in a psi (NIST Special Publication 811, appendix B.8)."""


@pytest.fixture
def phone(shipped):
    return Phone(Asking(Talking(shipped, Clock())), ANNA, CISTERN).press("n")


def pad_of(phone, view):
    shown = phone.ask("show", **phone.given(), view=view)
    return shown["pad"], [(p["part"], p["needed"]) for p in shown["pad"]["parts"]]


def test_the_gauge_as_found_in_psi_or_bar(phone):
    pad = phone.shown["pad"]
    assert (pad["unit"], pad["decimals"], pad["negative"]) == ("psi", 1, False)
    assert [each["unit"] for each in pad["parts"][0]["units"]] == ["psi", "bar", "kPa"]
    assert (pad["parts"][0]["low"], pad["parts"][0]["high"]) == (0.0, 200.0)
    phone.send(typed="3.3 bar")
    assert isclose(phone.entries[-1]["event"]["value"], 3.3 / BAR, rel_tol=1e-9)


def test_a_number_that_cannot_be_is_asked_again_on_the_keypad(phone):
    phone.send(typed="900 psi")
    assert phone.shown["pad"]["unit"] == "psi"
    assert any(line["kind"] == "caution" for line in phone.turn["lines"])
    assert phone.entries[-1]["event"]["what"] == "denied"


def test_parts_of_a_reading_stand_in_their_order_and_others_by_name(phone):
    pad, parts = pad_of(phone, "reading:hold")
    assert parts[:3] == [("start", True), ("end", True), ("minutes", True)]
    assert [p["before"] for p in pad["parts"]][3:] == ["tank=", "precharge=", "air="]


def test_each_number_typed_as_its_pad_says_is_taken(phone, shipped):
    for reading in shipped.readings.values():
        phone.place = {"view": f"reading:{reading.id}"}
        pad = phone.look()["pad"]
        typed = " ".join(f"{p['before']}1 {p['units'][-1]['unit']}" for p in pad["parts"])
        needed = tuple(p["part"] for p in pad["parts"] if p["needed"])
        numbers = numbers_of(reading, needed, typed)
        assert numbers.keys() == {p["part"] for p in pad["parts"]}


def test_units_beside_measure_the_same():
    for unit, others in BESIDE.items():
        assert all(converted(1.0, other, unit) > 0.0 for other in others)
    assert DECIMALS.keys() <= UNITS.keys()


def test_every_unit_of_a_reading_is_known_to_the_keypad(shipped):
    assert {u for r in shipped.readings.values() for u in r.takes.values()} <= UNITS.keys()


def test_words_want_no_keypad(phone):
    assert phone.ask("show", **phone.given(), view="search")["pad"] is None
    assert phone.ask("show", **phone.given(), view="sheet:serial:x")["pad"] is None
