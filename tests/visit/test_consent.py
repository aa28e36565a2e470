"""Money: the customer is asked above a limit; mend or replace."""

import pytest
from msgspec.structs import replace

from faultnet.cases import events as e
from faultnet.model.origin import NOWHERE, Number
from faultnet.visit.consent import estimate, limit
from tests.visit.press import opened, press, text


def with_limit(subject, money):
    rates = replace(subject.knowledge.rates, consent_above=Number(money, NOWHERE, ()))
    return replace(subject, knowledge=replace(subject.knowledge, rates=rates))


def repairing(subject, repair, **opening):
    first = e.Opened("small-pump", **opening)
    seen = e.Told("no-water", "yes")
    visit = press(opened(subject, first, seen), "n", "s", "")
    return visit.after(e.StepBegun(repair))


def test_a_repair_above_the_limit_waits_for_the_customer(small):
    visit = repairing(with_limit(small, 50.0), "renew-valve")
    assert visit.turn.kind == "consent"
    assert "Above 50 USD" in text(visit.turn)
    agreed = press(visit, "y")
    assert agreed.turn.kind == "set-up"
    assert agreed.at.agreed == {"renew-valve"}
    declined = press(visit, "n")
    assert declined.at.refused == ("renew-valve",)
    assert declined.turn.title != "Renew the valve"
    after = declined.after(e.RepairDone("restore-power"))
    assert after.at.put_off == ("renew-valve",)


def test_below_the_limit_or_without_one_nobody_is_asked(small):
    assert repairing(with_limit(small, 5000.0), "renew-valve").turn.kind == "set-up"
    assert repairing(small, "renew-valve").turn.kind == "set-up"


def test_the_limit_of_a_site_stands_before_the_usual_one(small):
    subject = with_limit(small, 50.0)
    visit = repairing(subject, "renew-valve", settings={"price-limit": "900USD"})
    assert limit(visit.talk, visit.at) == 900.0
    assert visit.turn.kind == "set-up"
    odd = repairing(subject, "renew-valve", settings={"price-limit": "much"})
    assert limit(odd.talk, odd.at) == 50.0


def test_money_is_labour_parts_and_whoever_is_called(small):
    # Worked by hand: 60 min of work, 18 of proof, 40 of disinfection, 10 + 8 of set-ups with
    # undoing are 136 min at 100 an hour; the stock of the small world has no prices.
    visit = repairing(small, "renew-valve")
    amount, told = estimate(visit.talk, visit.at, small.knowledge.repairs["renew-valve"])
    assert amount == pytest.approx(136 / 60 * 100)
    assert "Without a price: foot valve." in told


def test_replacing_mends_what_the_smaller_repair_mends_too(shipped):
    first = (e.Opened("jet-pump-cistern"), e.Passed("as-found"), e.Passed("layout"))
    subject = with_limit(shipped, 20.0)
    visit = opened(subject, *first).after(e.Passed("seen")).after(e.Passed("take-along"))
    visit = press(visit, "n").after(e.StepBegun("renew-shaft-seal"))
    assert visit.turn.kind == "consent"
    assert "Mend. About" in text(visit.turn)
    assert "Or change the pump. About" in text(visit.turn)
    visit = press(visit, "r")
    assert visit.at.step == "renew-pump"
    assert visit.turn.kind == "consent"
    assert visit.turn.reply("r") is None
    visit = press(visit, "y")
    while visit.turn.kind == "set-up":
        visit = press(visit, "d")
    visit = press(visit, "y")
    assert visit.at.evidence.rounds[0].repairs == ("renew-shaft-seal", "renew-pump")


def test_the_shipped_limit_asks_before_a_new_pump_and_not_before_a_tap_washer(shipped):
    visit = opened(shipped, e.Opened("jet-pump-cistern"))
    known, at_most = shipped.knowledge.repairs, limit(visit.talk, visit.at)
    assert estimate(visit.talk, visit.at, known["renew-pump"])[0] > at_most
    assert estimate(visit.talk, visit.at, known["mend-leaking-fixture"])[0] < at_most


def test_what_the_customer_told_on_the_phone_goes_before_the_limit_of_the_site(small):
    subject = with_limit(small, 50.0)
    visit = repairing(subject, "renew-valve", settings={"price-limit": "60USD"})
    told = visit.after(e.CallTold("limit", "900 USD"))
    assert limit(told.talk, told.at) == 900.0
    assert told.turn.kind == "set-up"
    vague = visit.after(e.CallTold("limit", "not much"))
    assert limit(vague.talk, vague.at) == 60.0
    assert vague.turn.kind == "consent"
