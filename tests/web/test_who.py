"""A page that asks by script: who it asks for, what it may take along, what its changes carry."""

import msgspec
import pytest

from faultnet.accounts import trail
from faultnet.cases import events as e
from faultnet.cases.entry import Writer
from faultnet.cases.store.listing import named
from faultnet.cases.store.purge import purge
from tests.cases.people import Person, both, together
from tests.web.people import house, log_in, office, people

CISTERN = "jet-pump-cistern"
SCRIPT = {"sec-fetch-dest": "empty"}


@pytest.fixture
def browser(tmp_path):
    with house(tmp_path) as browser:
        people(browser)
        yield browser


def a_call(browser):
    """Keep a case that was begun by phone at a site of its own; return both ids."""
    dora = Person("dora")
    site = dora.opens(e.SiteBegun(CISTERN)).log
    named = dora.writes(e.Named("Mill at Orquay", "Weir Lane 1", "0555 0101"))
    begun = (*dora.seen[:1], named)
    dora.opens(e.Opened(CISTERN, who="caller", speaker="caller", site=site))
    dora.writes(e.Told("no-water", "yes"))
    office(browser).store.append((*begun, *dora.seen))
    return dora.seen[0].log, site


def sent(browser, entries, **headers):
    body = {"entries": msgspec.to_builtins(entries)}
    return browser.post("/api/v1/events", json=body, headers=SCRIPT | headers)


def test_a_change_by_script_carries_the_token_of_its_log_in(browser):
    anna, _ = both(e.Opened(CISTERN))
    assert browser.get("/api/v1/who").status_code == 401
    log_in(browser, "tom")
    who = browser.get("/api/v1/who")
    told = who.json()
    assert (told["name"], told["role"], told["may"]) == (
        "tom",
        "technician",
        ["customer", "see", "write"],
    )
    assert who.headers["cache-control"] == "no-store"
    assert who.headers["cross-origin-resource-policy"] == "same-origin"
    assert "access-control-allow-origin" not in who.headers
    assert sent(browser, anna.seen).json()["kind"] == "other-log-in"
    assert sent(browser, anna.seen, **{"x-form-token": "0" * 64}).status_code == 403
    answer = sent(browser, anna.seen, **{"x-form-token": told["form_token"]})
    assert answer.json()["new"] == [anna.seen[0].id]
    browser.cookies.clear()
    log_in(browser, "dora")
    assert sent(browser, anna.seen, **{"x-form-token": told["form_token"]}).status_code == 403


def test_without_accounts_no_token_is_needed(tmp_path):
    with house(tmp_path) as browser:
        told = browser.get("/api/v1/who").json()
        assert (told["name"], told["form_token"]) == ("page", None)
        anna, _ = both(e.Opened(CISTERN))
        assert sent(browser, anna.seen).status_code == 200


def test_the_board_tells_who_where_and_how_urgent(browser):
    case, site = a_call(browser)
    log_in(browser, "tom")
    (told,) = browser.get("/api/v1/board").json()["cases"]
    assert (told["id"], told["site"], told["system"]) == (case, site, CISTERN)
    assert (told["name"], told["address"]) == ("Mill at Orquay", "Weir Lane 1")
    assert (told["urgency"]["id"], told["next"]) == ("P2", "call")
    assert told["urgency"]["title"] in browser.get("/").text


def test_the_address_told_on_the_phone_is_enough(browser):
    dora = Person("dora")
    dora.opens(e.Opened(CISTERN, who="caller", speaker="caller"))
    dora.writes(e.CallTold("name", "Mill"), e.CallTold("address", "Weir Lane 2"))
    office(browser).store.append(dora.seen)
    log_in(browser, "tom")
    (told,) = browser.get("/api/v1/board").json()["cases"]
    assert (told["name"], told["address"]) == ("Mill", "Weir Lane 2")


def test_a_case_of_a_system_that_is_not_known_can_be_taken_all_the_same(browser):
    anna, berta = both(e.Opened("gone"))
    anna.writes(e.Ended("declined"))
    berta.writes(e.Reopened())
    office(browser).store.append(together(anna, berta))
    log_in(browser, "tom")
    (told,) = browser.get("/api/v1/board").json()["cases"]
    assert (told["title"], told["urgency"], told["next"]) == ("gone", None, None)
    along = browser.get(f"/api/v1/cases/{told['id']}/along").json()
    assert (len(along["entries"]), along["unsettled"]) == (3, [])


def test_a_case_taken_along_is_noted(browser):
    case, site = a_call(browser)
    log_in(browser, "tom")
    along = browser.get(f"/api/v1/cases/{case}/along").json()
    assert (along["log"], along["site"], along["cursor"]) == (case, site, 2)
    assert [each["number"] for each in along["entries"]] == [1, 2]
    later = browser.get(f"/api/v1/cases/{case}/along", params={"since": 2}).json()
    assert (later["entries"], later["cursor"], later["site"]) == ([], 2, site)
    noted = [(each.deed, each.about) for each in trail.noted(office(browser).store, who="tom")]
    assert noted[:2] == [("case looked at", case), ("case taken along", case)]


def test_who_may_not_see_customers_takes_nothing_along(browser):
    case, _ = a_call(browser)
    log_in(browser, "rita")
    for place in ("board", f"cases/{case}/along"):
        answer = browser.get(f"/api/v1/{place}")
        assert (answer.status_code, answer.json()["kind"]) == (403, "may-not")
        assert "Mill" not in answer.text
    assert trail.noted(office(browser).store, deed="case taken along") == []


def test_how_far_cases_have_come_is_told_at_one_look(browser):
    case, site = a_call(browser)
    log_in(browser, "rita")
    asked = {"logs": f"{case},none,{site},"}
    told = browser.get("/api/v1/reached", params=asked).json()["logs"]
    assert {each["id"]: each["cursor"] for each in told} == {case: 2, site: 2}
    assert {each["purged"] for each in told} == {None}
    store = office(browser).store
    purge(store, [*named(store, case), *named(store, site)], "2026-03-04T07:31:05Z")
    (left,) = browser.get("/api/v1/reached", params=asked).json()["logs"]
    assert (left["id"], left["purged"]) == (case, "2026-03-04T07:31:05Z")


@pytest.mark.parametrize("name", ["20990101-0000-nnnnn", "site-nnnnnn"])
def test_what_is_not_there_is_told(browser, name):
    log_in(browser, "tom")
    answer = browser.get(f"/api/v1/cases/{name}/along")
    assert (answer.status_code, answer.json()["kind"]) == (404, "no-such-case")


def test_what_is_unsettled_is_told_in_words(browser):
    anna, berta = both(e.Opened(CISTERN))
    anna.writes(e.Told("air-at-taps", "yes"), e.Ended("declined"))
    berta.writes(e.Told("air-at-taps", "no"))
    office(browser).store.append(together(anna, berta))
    log_in(browser, "tom")
    case = anna.seen[0].log
    told = browser.get(f"/api/v1/cases/{case}/along").json()["unsettled"]
    assert {each["kind"] for each in told} == {"closed", "said"}
    (said,) = [each for each in told if each["kind"] == "said"]
    assert {(v["author"], v["by"], v["words"]) for v in said["said"]} == {
        ("anna@phone", "technician", "yes"),
        ("berta@phone", "technician", "no"),
    }
    (shown,) = browser.get(f"/api/v1/cases/{case}").json()["apart"]
    assert shown["kind"] == "closed"
    writer = Writer("tom@desk")
    seen = office(browser).store.read(case).entries
    office(browser).store.append((writer.entry(case, e.Passed("apart-closed"), seen),))
    told = browser.get(f"/api/v1/cases/{case}/along").json()["unsettled"]
    assert [each["kind"] for each in told] == ["said"]
