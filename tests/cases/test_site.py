"""A site is what was asked once, and what its cases have shown since."""

from faultnet.cases import events as e
from faultnet.cases.fold import fold
from faultnet.cases.site import site_of
from tests.cases.people import NOON, Clock, Person, both, together

DAY = 86_400.0


def hold(end):
    return e.Measured("hold", {"start": 50.0, "end": end, "minutes": 15.0})


def a_case(small, *events, days=0.0):
    person = Person("anna", Clock(NOON + days * DAY))
    person.opens(e.Opened("small-pump"))
    person.writes(*events)
    return fold(small, person.seen)


def test_what_is_not_mentioned_stays():
    person = Person("office")
    person.opens(e.SiteBegun("small-pump"))
    person.writes(e.Named("Mill at Orquay", "Orquay 3"), e.Named(contact="0555 0101"))
    person.writes(e.Told("tank", "plain"), e.Setting("cut-in", 30.0, "psi"), e.Note("the dog"))
    person.writes(e.Setting("cut-in", 28.0, "psi"))
    site = site_of("site-a", person.seen)
    assert (site.name, site.address, site.contact) == ("Mill at Orquay", "Orquay 3", "0555 0101")
    assert (site.system, site.layout, site.notes) == ("small-pump", {"tank": "plain"}, ("the dog",))
    assert site.settings["cut-in"].value == 28.0


def test_two_people_who_change_it_are_shown_both():
    anna, berta = both(e.SiteBegun("small-pump"))
    anna.writes(e.Named(contact="0555 0101"), e.Told("tank", "plain"))
    berta.writes(e.Named(contact="0555 0202"), e.Told("tank", "captive-air"))
    site = site_of("site-a", together(anna, berta))
    assert [conflict.about for conflict in site.conflicts] == ["contact", "tank"]
    assert {voice.value for voice in site.conflicts[0].said} == {"0555 0101", "0555 0202"}
    assert site == site_of("site-a", reversed(together(anna, berta)))


def test_the_latest_word_about_the_layout_counts(small):
    person = Person("office")
    person.opens(e.SiteBegun("small-pump"))
    person.writes(e.Told("check-valve", "foot"), e.Told("tank", "plain"))
    earlier = a_case(small, e.Told("check-valve", "in-line"), days=-9)
    later = a_case(small, e.Told("tank", "captive-air"), e.Told("no-water", "yes"), days=9)
    site = site_of("site-a", person.seen, [later, earlier])
    assert site.layout == {"check-valve": "foot", "tank": "captive-air"}
    wrong = a_case(small, e.Told("tank", "captive-air"), e.TakenBack("tank", 0), days=9)
    assert site_of("site-a", person.seen, [wrong]).layout["tank"] == "plain"


def test_readings_are_a_trend_over_all_cases(small):
    first = a_case(small, hold(48.0), e.RepairDone("renew-valve"), hold(50.0), days=-400)
    second = a_case(small, hold(44.0), e.Told("no-water", "yes"), days=-2)
    site = site_of("site-a", (), [second, first])
    assert [(r.parts["end"], r.round) for r in site.readings] == [(48.0, 0), (50.0, 1), (44.0, 0)]
    assert [case.id for case in site.cases] == [first.id, second.id]
    assert site.system == "small-pump"
