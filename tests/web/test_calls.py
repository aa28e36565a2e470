"""The dispatcher's side, as a browser without script sends it; names and places are invented."""

import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from faultnet.authoring.shipped import shipped_folder
from faultnet.cases.entry import Writer
from faultnet.cases.events import (
    CallTold,
    Denied,
    Ended,
    Named,
    Opened,
    Passed,
    Paused,
    ProcedureBegun,
    ProcedureStepDone,
    TimerStarted,
    Told,
)
from faultnet.cases.events_of_site import SiteBegun
from faultnet.cases.site import site_of
from faultnet.cases.store.listing import named, sites
from faultnet.cases.store.purge import purge
from faultnet.desk.board import waiting
from faultnet.desk.call import call_of
from faultnet.desk.danger import ENOUGH
from faultnet.desk.outcome import outcome_of
from faultnet.desk.sheet import FIELDS
from faultnet.web.app import application
from faultnet.web.open_cases import open_cases
from faultnet.web.settings import Settings
from tests.web import serving
from tests.web.conftest import HOME, client, read
from tests.web.people import field, log_in, people, send
from tests.web.people import house as office_house

CISTERN = "jet-pump-cistern"
TYPED = {**serving.TYPED, "Access:": "dog <b>loose</b>"}


def hidden(page, name):
    found = re.search(rf'name="{name}" value="([^"]*)"', page.text)
    return unescape(found[1]) if found else ""


def office_of(browser):
    return browser.app.state.office


def call(browser, **more):
    return browser.post("/new", data={"system": CISTERN, "speaker": "caller", **more})


def answer(browser, page, **given):
    """Answer the turn that is due on a page of a call."""
    place = page.url.path.removesuffix("/outcome")
    tap = {name: hidden(page, name) for name in ("last", "view", "what", "text")}
    return browser.post(f"{place}/reply", data={**tap, **given})


def prompt(page):
    found = re.search(r'<label for="typed">([^<]*)</label>', page.text)
    return found[1] if found else ""


def to_outcome(browser, page, until="What it comes to"):
    """Talk through a call: no danger, a baby, no water; return the page where it ends."""
    keys = iter(serving.TO_QUESTIONS)
    for _ in range(40):
        heading = re.search(r'<p class="kind">([^<]*)</p>', page.text)[1]
        if heading == until:
            return page
        if prompt(page):
            page = answer(browser, page, typed=TYPED[prompt(page)])
            continue
        key = next(keys, None)
        if key is None:
            key = (
                "1" if "Which is it?" in page.text else "" if "Anything else?" in page.text else "n"
            )
        page = answer(browser, page, key=key)
    raise AssertionError(f"no {until}")


@pytest.fixture(scope="module")
def talked(tmp_path_factory):
    """A browser, and a call that has come to its outcome."""
    with client(tmp_path_factory.mktemp("talked")) as browser:
        yield browser, to_outcome(browser, call(browser))


def test_a_call_begins_with_danger_and_a_yes_stops_everything(browser):
    page = call(browser)
    assert page.url.path.startswith("/calls/")
    assert "Any shock or tingle, any smoke or burnt smell?" in page.text
    page = answer(browser, page, key="1")
    assert "Read it out, slowly" in page.text
    assert '<strong class="class">P0</strong>' in page.text
    assert '<strong class="class">P0</strong>' in browser.get("/").text


def test_the_board_leads_to_a_new_call(browser):
    board = browser.get("/")
    assert "/new?by=phone" in board.text
    assert 'value="caller" checked' in browser.get("/new?by=phone").text
    assert 'value="technician" checked' in browser.get("/new").text


def test_the_sheet_fills_along_the_way_and_shows_what_is_open(browser):
    page = call(browser)
    for each in FIELDS:
        assert f"?view=field:{each.id}" in page.text
    page = browser.get(f"{page.url.path}?view=field:access")
    page = answer(browser, page, typed="dog <b>loose</b>")
    assert '<dd dir="auto">dog &lt;b&gt;loose&lt;/b&gt;</dd>' in page.text
    assert "Any shock or tingle" in page.text
    still = page.text.partition("Still open")[2].partition("</ul>")[0]
    assert "field:name" in still
    assert "field:access" not in still


def test_an_unfit_number_is_told_and_asked_again(browser):
    place = call(browser).url.path
    page = browser.get(f"{place}?view=field:people")
    page = answer(browser, page, typed="a lot")
    assert "Write a plain number, such as 4." in page.text
    assert "<dt>People</dt>" not in page.text
    assert '<dt>People</dt> <dd dir="auto">4</dd>' in answer(browser, page, typed="4").text


def test_a_call_resumes_at_the_same_question(browser):
    page = answer(browser, answer(browser, call(browser), key="n"), key="n")
    gone = answer(browser, page, key="q")
    assert gone.url.path == "/"
    title = re.search(r"<h1>([^<]*)</h1>", page.text)[1]
    assert title in browser.get(page.url.path).text


def test_who_and_where_land_with_one_new_site(talked):
    browser, _ = talked
    (listed,) = sites(office_of(browser).store)
    site = site_of(listed.id, office_of(browser).store.read(listed.id).entries)
    assert (site.name, site.address, site.contact) == ("Mill at Orquay", "Weir Lane 1", "0555 0101")


def test_a_call_that_ends_after_the_name_still_asks_the_rest_and_makes_one_site(browser):
    page = to_outcome(browser, call(browser), until="Call sheet")
    page = answer(browser, page, typed="Mill at Orquay")
    answer(browser, page, key="q")
    (listed,) = sites(office_of(browser).store)
    assert listed.name == "Mill at Orquay"
    page = browser.get(page.url.path)
    assert prompt(page) == "Call-back:"
    to_outcome(browser, page)
    assert len(sites(office_of(browser).store)) == 1


def test_the_outcome_tells_what_the_arithmetic_says(talked):
    browser, page = talked
    office = office_of(browser)
    subject, log = office.kept(page.url.path.rpartition("/")[2])
    told = call_of(subject, log.entries, Writer("somebody@here"))
    outcome = outcome_of(told.talk, told.at)
    sheet = browser.get(f"{page.url.path}/outcome").text
    shown = re.findall(r'/knowledge/causes/([a-z0-9-]+)">[^<]*</a> <b>([^<]*)</b>', sheet)
    assert [each.id for each in outcome.causes] == [name for name, _ in shown]
    for each, (_, share) in zip(outcome.causes, shown, strict=True):
        assert float(share.rstrip("%")) / 100 == pytest.approx(each.probability, abs=0.006)
    assert "P1" in sheet
    assert "a baby" in sheet
    assert "Water left: 600 gal for 4 people, 2 to 3 days." in sheet
    assert f"after {outcome.site.usual:.0f} min, nine in ten after {outcome.site.long:.0f}" in sheet
    assert f"<b>{outcome.prices.first_hour.money:g} {outcome.prices.currency}" in sheet
    assert all(text in unescape(sheet) for text in (*outcome.do, *outcome.do_not))
    assert sheet.index("judgement") > 0
    assert "<script" not in sheet


def test_the_page_of_a_call_tells_at_once_without_working_it_all_out(talked, monkeypatch):
    browser, page = talked

    def never(*_):
        raise AssertionError("the whole outcome was worked out")

    for place in ("faultnet.desk.call.outcome_of", "faultnet.desk.outcome._outcome"):
        monkeypatch.setattr(place, never)
    shown = browser.get(page.url.path).text
    assert "Somebody comes: same day, within hours." in shown
    assert "Probably wrong" in shown
    assert browser.get("/").status_code == 200


def test_a_call_is_handed_over_and_the_technician_reads_it_first(browser):
    page = to_outcome(browser, call(browser))
    place = page.url.path
    assert "The call goes on (page)" in browser.get("/").text
    sheet = browser.get(f"{place}/outcome")
    tap = {"last": hidden(sheet, "last")}
    board = browser.post(f"{place}/hand-over", data=tap)
    assert board.url.path == "/"
    assert "Waiting for a technician;" in board.text
    again = browser.post(f"{place}/hand-over", data=tap)
    assert "Nothing was noted" in again.text
    at_pump = place.replace("/calls/", "/cases/")
    entries = len(office_of(browser).store.read(place.rpartition("/")[2]).entries)
    visit = browser.get(at_pump)
    assert "What the caller told" in visit.text
    assert "No water at any tap: yes" in visit.text
    assert "dog &lt;b&gt;loose&lt;/b&gt;" in visit.text
    assert len(office_of(browser).store.read(place.rpartition("/")[2]).entries) == entries
    assert "Waiting for a technician;" in browser.get("/").text
    visit = answer(browser, visit, key="")
    assert "What the caller told" not in visit.text
    assert "At the pump (page)" in browser.get("/").text


def test_a_forecast_is_noted_when_a_call_is_handed_over(talked):
    browser, page = talked
    sheet = browser.get(f"{page.url.path}/outcome")
    browser.post(f"{page.url.path}/hand-over", data={"last": hidden(sheet, "last")})
    entries = office_of(browser).store.read(page.url.path.rpartition("/")[2]).entries
    noted = [e.event for e in entries if type(e.event).__name__ == "AdviceShown"]
    assert len(noted) == 1
    assert noted[0].causes


def test_contradictions_leave_the_urgency_and_a_way_back(browser, monkeypatch):
    page = call(browser)
    monkeypatch.setattr("faultnet.desk.call.Call.outcome", property(lambda _: None))
    sheet = browser.get(f"{page.url.path}/outcome").text
    assert "go back to the call" in sheet
    assert '<strong class="class">P4</strong>' in sheet


def known_site(browser, name="Mill at Orquay", address="Weir Lane 1", system=CISTERN):
    writer = Writer("dora@desk")
    begun = writer.begin(SiteBegun(system))
    entries = (begun,)
    for event in (Named(name, address, "0555 0101"), Told("tank", "captive-air")):
        entries = (*entries, writer.entry(begun.log, event, entries))
    office_of(browser).store.append(entries)
    return begun.log


@pytest.mark.parametrize("words", ["orq", "weir", "MILL lane", "0555"])
def test_a_site_is_found_by_part_of_name_or_address(browser, words):
    site = known_site(browser)
    assert site in browser.get("/new", params={"by": "phone", "q": words}).text


@pytest.mark.parametrize("words", ["nowhere", "%", "_", "mill nowhere", "\0", "<b>"])
def test_other_words_find_none_and_say_so(browser, words):
    site = known_site(browser)
    page = browser.get("/new", params={"by": "phone", "q": words})
    assert page.status_code == 200
    assert site not in page.text
    assert "<b>" not in page.text


def test_at_a_known_site_neither_layout_nor_address_is_asked(browser):
    site = known_site(browser)
    page = browser.post("/new", data={"site": site, "speaker": "caller"})
    assert "Mill at Orquay" in page.text
    still = page.text.partition("Still open")[2].partition("</ul>")[0]
    assert "field:name" not in still
    assert "field:people" in still
    visit = read(office_of(browser), page.url.path.rpartition("/")[2], Writer("a@b"))
    assert visit.at.evidence.layout == {"tank": "captive-air"}
    assert "Any shock or tingle" in page.text


def test_a_site_is_chosen_within_a_call_and_its_layout_comes_along(browser):
    site, place = known_site(browser), call(browser).url.path
    page = browser.get(f"{place}/site", params={"q": "weir"})
    assert site in page.text
    tap = {"last": hidden(page, "last"), "site": site}
    page = browser.post(f"{place}/site", data=tap)
    assert "Mill at Orquay" in page.text
    visit = read(office_of(browser), place.rpartition("/")[2], Writer("a@b"))
    assert visit.at.case.site == site
    assert visit.at.evidence.layout == {"tank": "captive-air"}
    assert "Nothing was noted" in browser.post(f"{place}/site", data=tap).text
    assert "field:name" not in page.text.partition("Still open")[2].partition("</ul>")[0]
    to_outcome(browser, page)
    assert len(sites(office_of(browser).store)) == 1


def test_a_timer_of_a_call_leads_back_to_the_call(browser):
    procedures = office_of(browser).knowledge.procedures
    by_phone, timed = next(
        (name, number)
        for name, each in procedures.items()
        if each.by_phone
        for number, step in enumerate(each.steps)
        if "minutes" in step.limit
    )
    done = [ProcedureStepDone(by_phone, n) for n in range(timed)]
    dangers = tuple(f.id for f in office_of(browser).knowledge.findings.values() if f.dangers)
    before = (Denied(dangers), CallTold("reach", "yes"), Passed("call-need"))
    walk = (ProcedureBegun(by_phone), *done, TimerStarted(by_phone, timed))
    name = log_of(browser, *before, *walk)
    page = browser.get(f"/calls/{name}").text
    assert 'role="timer"' in page
    assert f'class="again" href="{HOME}/calls/{name}"' in page


def test_what_was_purged_is_not_told_out_of_what_was_kept(browser):
    name = log_of(browser, Named("Mill at Orquay"), Told("no-water", "yes"))
    place = f"/calls/{name}/outcome"
    assert "Mill at Orquay" in browser.get(place).text
    assert "Mill at Orquay" in browser.get(f"/calls/{name}").text
    store = office_of(browser).store
    purge(store, named(store, name), "2026-03-04T07:22:00.000Z")
    assert "Mill at Orquay" not in browser.get(place).text
    assert "Mill at Orquay" not in browser.get("/").text


def test_a_site_of_another_system_or_of_nowhere_is_refused(browser):
    other, place = known_site(browser, system="jet-pump-well"), call(browser).url.path
    last = hidden(browser.get(place), "last")
    for name in (other, "site-nowhere", place.rpartition("/")[2]):
        page = browser.post(f"{place}/site", data={"last": last, "site": name})
        assert page.status_code == 400
        assert "There is no such site here." in page.text
    assert browser.post("/new", data={"site": "site-x", "speaker": "caller"}).status_code == 400


@pytest.mark.parametrize("place", ["", "/outcome", "/site"])
def test_a_call_that_is_not_there_is_told(browser, place):
    assert browser.get(f"/calls/none{place}").status_code == 404


def log_of(browser, *events, system=CISTERN):
    """Keep a case with these events; return its id."""
    writer = Writer("dora@desk")
    entries = (writer.begin(Opened(system, "caller", "caller")),)
    for event in events:
        entries = (*entries, writer.entry(entries[0].log, event, entries))
    office_of(browser).store.append(entries)
    return entries[0].log


def test_the_board_is_by_urgency_and_says_what_is_next(browser):
    drip = log_of(browser, Told("drip-at-pump", "yes"), Paused())
    dry = log_of(browser, Told("no-water", "yes"), Passed(ENOUGH), Passed("call-handed-over"))
    baby = log_of(browser, Told("no-water", "yes"), CallTold("need", "infant"))
    danger = log_of(browser, Told("tingle", "yes"))
    strange = log_of(browser, system="water-wheel")
    closed = log_of(browser, Told("no-water", "yes"), Ended("declined"))
    page = browser.get("/").text
    places = [page.index(f", {name}<") for name in (danger, baby, dry, drip, strange)]
    assert places == sorted(places)
    assert closed not in page
    assert [name for _, each in open_cases(office_of(browser)) if each for name in [each.next]] == [
        "call",
        "call",
        "technician",
        "rests",
    ]
    assert "how urgent it is cannot be told" in page


def test_the_board_folds_a_case_anew_only_when_something_was_written(browser, monkeypatch):
    name = log_of(browser, Told("drip-at-pump", "yes"))
    folded = []

    def counted(subject, entries):
        folded.append(1)
        return waiting(subject, entries)

    monkeypatch.setattr("faultnet.web.open_cases.waiting", counted)
    for _ in range(3):
        assert "P4" in browser.get("/").text
    assert len(folded) == 1
    office, writer = office_of(browser), Writer("dora@desk")
    entries = office.store.read(name).entries
    office.store.append((writer.entry(name, Told("no-water", "yes"), entries),))
    assert "P2" in browser.get("/").text
    assert len(folded) == 2


def test_the_board_ranks_nothing(browser, monkeypatch):
    log_of(browser, Told("no-water", "yes"))

    def never(*_args, **_more):
        raise AssertionError("the board ranked")

    monkeypatch.setattr("faultnet.visit.counsel.rank", never)
    assert browser.get("/").status_code == 200


TRUCKS = """as-of: 2026-03-02
trucks:
  north:
    pressure-switches: 2
"""


def test_trucks_come_from_a_file_and_a_broken_one_is_told(tmp_path):
    file = tmp_path / "trucks.yaml"
    file.write_text(TRUCKS)
    store = f"sqlite:///{tmp_path / 'cases.db'}"
    settings = Settings(tmp_path, shipped_folder(), store, trucks=(file,))
    with TestClient(application(settings), base_url=HOME) as browser:
        place = call(browser).url.path
        assert "Truck north" in browser.get(f"{place}/outcome").text
        file.write_text("trucks: 3\n")
        page = browser.get(f"{place}/outcome")
        assert page.status_code == 503
        assert "A file of the trucks cannot be read" in page.text
        assert "trucks.yaml, line 1" in page.text
        assert browser.get("/").status_code == 200


@pytest.fixture
def house(tmp_path):
    with office_house(tmp_path) as browser:
        people(browser)
        yield browser


@pytest.mark.parametrize("name", ["dora", "tom", "sena"])
def test_dispatcher_technician_and_senior_take_calls(house, name):
    log_in(house, name)
    page = house.get("/new?by=phone")
    begun = send(house, "/new", page, system=CISTERN, speaker="caller")
    place = begun.headers["location"]
    assert "/calls/" in place
    page = house.get(place)
    assert page.status_code == 200
    told = send(house, f"{place}/reply", page, last=field(page, "last"), key="n")
    assert told.status_code == 303
    page = house.get(f"{place}/outcome")
    last = field(page, "last")
    assert house.post(f"{place}/hand-over", data={"last": last}).status_code == 403
    assert send(house, f"{place}/hand-over", page, last=last).status_code == 303


def test_read_only_sees_the_board_without_people_and_takes_no_calls(house):
    log_in(house, "dora")
    writer = Writer("dora@desk")
    begun = writer.begin(Opened(CISTERN, "caller", "caller"))
    entries = (begun,)
    for event in (Told("no-water", "yes"), CallTold("need", "infant"), Named("Mill at Orquay")):
        entries = (*entries, writer.entry(begun.log, event, entries))
    office_of(house).store.append(entries)
    assert "a baby" in house.get("/").text
    house.cookies.clear()
    log_in(house, "rita")
    board = house.get("/").text
    assert "P1" in board
    assert begun.log in board
    assert "baby" not in board
    assert "Mill" not in board
    assert "/calls/" not in board
    assert "/new" not in board
    for place in ("", "/outcome", "/site?q=mill"):
        assert house.get(f"/calls/{begun.log}{place}").status_code == 403
    page = house.get(f"/cases/{begun.log}")
    assert page.status_code == 200
    for deed in ("reply", "hand-over", "site"):
        assert send(house, f"/calls/{begun.log}/{deed}", page, key="n").status_code == 403
