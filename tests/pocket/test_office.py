"""Real phones and a real office: what was written without a network comes together."""

import json

import msgspec
import pytest

from faultnet.accounts import register, trail
from faultnet.cases import events as e
from faultnet.cases.entry import Writer, time_text
from faultnet.cases.fold import fold
from faultnet.cases.store.listing import named
from faultnet.cases.store.purge import purge
from tests.accounts.people import PHRASE
from tests.cases.people import NOON, Person
from tests.pocket.office_page import Phone, house
from tests.visit.press import press
from tests.web.serving import browser

CISTERN = "jet-pump-cistern"


@pytest.fixture(scope="module")
def chromium():
    with browser() as chromium:
        yield chromium


@pytest.fixture
def served(tmp_path):
    with house(tmp_path) as served:
        yield served


@pytest.fixture
def phones(chromium, served):
    """Make phones that have the page open."""
    made = []

    def phone(name="anna", hours=0.0):
        made.append(Phone(chromium, served[1], name, hours).opens())
        return made[-1]

    yield phone
    for each in made:
        each.close()


def store(served):
    return served[0].state.office.store


def a_call(served):
    """Keep a case that waits for a technician, at a site; return both ids. All of it invented."""
    dora = Person("dora@desk")
    site = dora.opens(e.SiteBegun(CISTERN)).log
    dora.writes(e.Named("Mill at Orquay", "Weir Lane 1", "0555 0101"), e.Note("dog"))
    store(served).append(dora.seen)
    case = dora.opens(e.Opened(CISTERN, who="caller", speaker="caller", site=site)).log
    dora.writes(e.Told("no-water", "yes"))
    store(served).append(dora.seen)
    return case, site


def differently(place, repair):
    return e.Told("check-valve", place), e.RepairDone(repair)


@pytest.mark.parametrize("back", [(0, 1), (1, 0)])
def test_two_phones_take_one_case_and_come_back_in_either_order(served, phones, back):
    case, site = a_call(served)
    anna, berta = two = phones("anna", 3.0), phones("berta", -5.0)
    for phone in two:
        (offered,) = phone.does("await casesToTake()")
        assert (offered["id"], offered["address"]) == (case, "Weir Lane 1")
        assert phone.takes(case) == {"taken": [case], "trouble": None}
        assert len(phone.entries(site)) == 3
        assert phone.unsent() == []
        phone.offline()
    stages = map(e.Passed, ("handed-over", "dangers"))
    anna.writes(case, e.Joined(), *stages, *differently("foot", "clean-foot-valve"))
    berta.writes(case, e.Joined(), *differently("in-line", "remake-suction-joint"))
    told = anna.merges()["trouble"]
    assert (told["kind"], told["place"]) == ("no-signal", "this phone")
    assert len(anna.unsent()) == 5
    for number in back:
        two[number].offline(there=False)
        done = two[number].merges()
        assert (done["sent"], done["trouble"]) == ((5, 3)[number], None)
    for phone in (*two, *two):
        last = phone.merges()
        assert (last["sent"], last["aside"], last["gone"], last["trouble"]) == (0, [], [], None)
        assert {each["kind"] for each in last["conflicts"]} == {"mended", "said"}
        assert {each["log"] for each in last["conflicts"]} == {case}
        assert {v["author"][:5] for v in last["conflicts"][0]["said"]} == {"anna@", "berta"}
    kept = store(served).read(case).entries
    assert len(kept) == 10
    subject = served[0].state.office.subject(CISTERN)
    for phone in two:
        entries = phone.entries(case)
        assert {x.id: x for x in entries} == {x.id: x for x in kept}
        assert fold(subject, entries) == fold(subject, kept)
        here = served[0].state.office.visit(subject, entries, phone.writer)
        assert here.turn.heading == "Two people say different things"
    desk = served[0].state.office.visit(subject, kept, Writer("sena@desk"))
    assert desk.turn.heading == here.turn.heading
    desk = press(desk, "1")
    assert desk.turn.heading == "Both of them mended something"
    assert press(desk, "y").at.case.apart == ()
    noted = trail.noted(store(served), deed="case taken along")
    assert {each.about for each in noted} == {case}
    rows = len(trail.noted(store(served)))
    assert anna.merges()["got"] == 0
    assert len(trail.noted(store(served))) == rows  # where nothing is new nothing is looked at


def test_a_case_begun_at_the_pump_goes_to_the_office_in_parts(served, phones):
    phone = phones()
    sizes = []
    phone.page.on("request", lambda r: r.method == "POST" and sizes.append(len(r.post_data)))
    phone.offline()
    case = phone.begins(e.Opened(CISTERN))
    seen = phone.entries(case)
    for number in range(420):
        text = "mud " * (5000 if number % 100 == 7 else 1)
        seen = (*seen, phone.writer.entry(case, e.Note(f"{number} {text}"), seen))
    phone.keeps(*seen)
    phone.offline(there=False)
    done = phone.merges()
    assert (done["sent"], done["got"], done["trouble"]) == (421, 0, None)
    assert len(sizes) > 3
    assert max(sizes) < 64 * 1024
    assert store(served).read(case).entries == seen
    assert phone.unsent() == []


def test_an_answer_that_is_lost_is_no_loss(served, phones):
    phone = phones()
    case = phone.begins(e.Opened(CISTERN))
    phone.context.route("**/api/v1/events", lambda route: (route.fetch(), route.abort()))
    assert phone.merges()["trouble"]["kind"] == "no-answer"
    assert len(store(served).read(case).entries) == 1
    phone.context.unroute("**/api/v1/events")
    done = phone.merges()
    assert (done["sent"], done["got"], done["trouble"]) == (0, 0, None)
    assert phone.unsent() == []


def test_what_the_office_refuses_is_set_aside_and_holds_up_nothing(served, phones):
    phone = phones()
    gone, case = phone.begins(e.Opened(CISTERN)), phone.begins(e.Opened(CISTERN))
    assert phone.merges()["sent"] == 2
    purge(store(served), named(store(served), gone), time_text(NOON), whole=True)
    phone.writes(gone, e.Note("too late"))
    phone.writes(case, e.Told("air-at-taps", "yes"))
    forged = phone.writer.entry(case, e.Note("theirs"), phone.entries(case))
    other = phone.writer.entry(case, e.Note("ours"), phone.entries(case))
    store(served).append([forged])
    raw = msgspec.to_builtins(other) | {"id": forged.id}
    unfit = msgspec.to_builtins(other) | {"id": "0-unfit", "at": "yesterday"}
    newer = msgspec.to_builtins(other) | {"id": "0-newer", "event": {"what": "of-tomorrow"}}
    phone.writes(case, e.Told("no-water", "no"))
    phone.does("await kept.add(given)", [raw, unfit, newer])
    done = phone.merges()
    kinds = {each["told"]["kind"] for each in done["aside"]}
    assert kinds == {"deleted", "kept-otherwise", "unfit-entry", "wrong-shape"}
    assert all(each["told"]["reason"] and each["told"]["mend"] for each in done["aside"])
    assert (done["sent"], done["gone"], done["trouble"]) == (2, [gone], None)
    assert len(phone.unsent()) == 4
    file = phone.does("await asideFile(kept)")
    assert len(json.loads(file["text"])["refused"]) == 4
    again = phone.merges(again=True)
    assert len(again["aside"]) == 4
    assert again["sent"] == 0


def test_logged_in_by_the_browser_and_told_where_not(served, phones):
    phone = phones()
    register.add(store(served), "tom", "technician", PHRASE, NOON)
    register.add(store(served), "rita", "read-only", PHRASE, NOON)
    case = phone.begins(e.Opened(CISTERN))
    told = phone.merges()["trouble"]
    assert (told["kind"], told["status"]) == ("no-log-in", 401)
    assert told["mend"]
    there = phone.does("await officeThere()")
    assert (there["there"], there["name"], there["logIn"]) == (True, None, told["logIn"])
    for name, role in (("rita", "read-only"), ("tom", "technician")):
        phone.context.clear_cookies()
        phone.page.goto(told["logIn"])
        phone.page.fill('input[name="name"]', name)
        phone.page.fill('input[name="password"]', PHRASE)
        phone.page.locator("main button").click()
        phone.page.wait_for_url("**/pocket/")
        phone.opens()
        there = phone.does("await officeThere()")
        assert (there["name"], there["role"], there["trouble"]) == (name, role, None)
        done = phone.merges()
        if name == "rita":
            assert done["trouble"]["kind"] == "may-not-write"
            refused = phone.does("await casesToTake().catch(({ told }) => told.kind)")
            assert refused == "may-not"
            assert phone.takes(case)["trouble"]["kind"] == "may-not"
            assert phone.unsent()
    assert (done["sent"], done["trouble"]) == (1, None)
    written = trail.noted(store(served), deed="case written")
    assert [(each.who, each.about) for each in written] == [("tom", case)]


def test_it_merges_by_itself_when_the_connection_comes_back(served, phones):
    phone = phones()
    phone.does("(window.told = [], window.touch = keepInTouch(kept, (d) => told.push(d)))")
    phone.awaits("told.length === 1")
    phone.offline()
    case = phone.begins(e.Opened(CISTERN))
    phone.does("await touch.now()")
    assert phone.does("told.at(-1).trouble.kind") == "no-signal"
    phone.offline(there=False)
    phone.awaits("told.at(-1).trouble === null && told.at(-1).sent === 1")
    assert len(store(served).read(case).entries) == 1
    phone.does("touch.stop()")


def test_what_the_office_took_out_is_told_until_it_leaves_the_phone(served, phones):
    phone = phones()
    case, site = a_call(served)
    phone.takes(case)
    phone.writes(case, e.Note("the miller has the key"))
    assert phone.merges()["gone"] == []
    purge(store(served), [*named(store(served), case), *named(store(served), site)], "2026")
    assert phone.merges()["gone"] == [case, site]
    phone.does("await kept.forget(given)", [case, site])
    assert phone.takes(case)["trouble"] is None
    assert phone.merges()["gone"] == []
    assert "miller" not in str(phone.entries(case))
