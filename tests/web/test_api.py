"""The API as programs use it: its answers are those of the command line, refusals are told."""

import threading
from concurrent.futures import ThreadPoolExecutor

import msgspec
import pytest

from faultnet.cases import events as e
from faultnet.cases.entry import Entry
from faultnet.cases.store.listing import named
from faultnet.cases.store.purge import purge
from faultnet.cases.store.trouble import StoreError
from faultnet.inference.engine import TooLargeError
from faultnet.web.api.advice import MOST_WORK
from faultnet.web.api.problem import KINDS, Problem
from faultnet.web.api.table import CALLS
from faultnet.web.thinking import AT_ONCE
from tests.cases.people import both, together

CISTERN = "jet-pump-cistern"
OPENED = e.Opened(CISTERN, knowledge="any")
SPITS = {"finding": "air-at-taps", "answer": "yes"}
NEVER = {"finding": "never-shuts-off", "answer": "yes"}


def asked(browser, **fields):
    """Ask for advice."""
    return browser.post("/api/v1/advice", json={"system": CISTERN, **fields})


def sent(browser, *entries):
    """Send entries."""
    return browser.post("/api/v1/events", json={"entries": msgspec.to_builtins(entries)})


def refusal(answer):
    """Return what a refusal tells, checked against its type."""
    assert answer.headers["content-type"] == "application/problem+json"
    told = msgspec.json.decode(answer.content, type=Problem)
    assert told.status == answer.status_code == KINDS[told.kind].status
    assert told.type == f"/api/v1/problems/{told.kind}"
    assert told.place
    assert told.reason.endswith(".")
    assert told.mend
    assert "Traceback" not in answer.text
    return told


@pytest.fixture
def commanded(faultnet, tmp_path, monkeypatch):
    """Run a command line on the same store and return its JSON."""
    monkeypatch.setenv("FAULTNET_STORE", f"sqlite:///{tmp_path / 'cases.db'}")

    def told(*arguments):
        ran = faultnet(*arguments, "--json")
        assert ran.code == 0
        return ran.json

    return told


class TestAdvice:
    def test_it_is_what_rank_and_next_tell(self, browser, commanded):
        answer = asked(
            browser,
            answers=[SPITS],
            by="caller",
            readings={"hold": {"start": "3.4bar", "end": 44, "minutes": "900s"}},
            layout={"check-valve": "foot"},
            circumstances={"after-work": True},
            set_ups=["hatch-open"],
            earlier=[
                {
                    "answers": [{"finding": "gauge-falls-isolated", "answer": "yes"}],
                    "mended": ["clean-foot-valve"],
                }
            ],
        )
        said = [
            *("-f", "1:gauge-falls-isolated=yes", "--mended", "1:clean-foot-valve"),
            *("-f", "air-at-taps=yes", "--by", "caller", "-l", "check-valve=foot"),
            *("-m", "hold.start=3.4bar", "-m", "hold.end=44psi", "-m", "hold.minutes=15min"),
            *("-f", "after-work=yes"),
        ]
        ranked = commanded("rank", CISTERN, *said)
        stepped = commanded("next", CISTERN, *said, "--set-up", "hatch-open")
        assert ranked["evidence"].pop("set_ups") == []
        told = answer.json()
        assert told["rank"]["evidence"].pop("set_ups") == ["hatch-open"]
        assert {"schema_version": 1, **told["rank"]} == ranked
        assert {"schema_version": 1, **told["next"]} == stepped

    def test_a_danger_withholds_every_step_but_making_safe(self, browser):
        told = asked(browser, answers=[NEVER]).json()
        assert told["rank"]["dangers"][0]["finding"] == "never-shuts-off"
        assert {step["kind"] for step in told["next"]["steps"]} == {"make-safe"}
        told = asked(browser, answers=[NEVER], made_safe=["never-shuts-off"]).json()
        assert "make-safe" not in {step["kind"] for step in told["next"]["steps"]}

    def test_a_caller_gets_no_step_of_a_technician(self, browser):
        steps = asked(browser, answers=[SPITS], by="caller", who="caller").json()["next"]["steps"]
        assert {step["who"] for step in steps} <= {"caller", "specialist"}

    def test_answers_that_cannot_all_be_true_are_named(self, browser):
        lift = {"finding": "motor-silent", "answer": "yes"}
        hums = {"finding": "motor-hums", "answer": "yes"}
        told = asked(browser, answers=[lift, hums])
        assert told.status_code == 200
        assert {each["about"] for each in told.json()["rank"]["conflict"]} == {
            "motor-silent",
            "motor-hums",
        }

    def test_two_speakers_may_differ_on_one_finding(self, browser):
        told = asked(browser, answers=[SPITS, {**SPITS, "answer": "no", "by": "caller"}])
        (only,) = told.json()["rank"]["evidence"]["rounds"]
        assert {each["by"] for each in only["answers"]} == {"technician", "caller"}

    def test_too_large_is_refused_with_its_dangers(self, browser, monkeypatch):
        monkeypatch.setattr("faultnet.inference.query.CELL_LIMIT", 4)
        smell = {"finding": "burnt-smell", "answer": "yes"}
        told = refusal(asked(browser, answers=[smell, SPITS]))
        assert told.kind == "too-large"
        assert told.cells > told.limit == 4
        assert told.leave_out
        assert [danger.finding for danger in told.dangers] == ["burnt-smell"]

    def test_what_would_take_too_long_is_refused_before_it_is_begun(self, browser):
        falls = {"finding": "gauge-falls-isolated", "answer": "yes"}
        round_ = {"answers": [falls], "mended": ["clean-foot-valve"]}
        told = refusal(asked(browser, answers=[SPITS], earlier=[round_] * 6))
        assert told.kind == "too-large"
        assert told.cells > told.limit == MOST_WORK
        assert "gauge-falls-isolated" in told.leave_out

    @pytest.mark.parametrize(
        ("fields", "kind", "place"),
        [
            ({"system": "pump"}, "unknown-name", "$.system"),
            ({"answers": [{**SPITS, "answer": "much"}]}, "unknown-name", "$.answers[0].answer"),
            (
                {"answers": [{"finding": "x", "answer": "yes"}]},
                "unknown-name",
                "$.answers[0].finding",
            ),
            ({"layout": {"tnak": "plain"}}, "unknown-name", "$.layout.tnak"),
            ({"layout": {"tank": "plian"}}, "unknown-name", "$.layout.tank"),
            (
                {"circumstances": {"air-at-taps": True}},
                "unknown-name",
                "$.circumstances.air-at-taps",
            ),
            ({"made_safe": ["x"]}, "unknown-name", "$.made_safe[0]"),
            ({"set_ups": ["x"]}, "unknown-name", "$.set_ups[0]"),
            ({"earlier": [{"mended": ["x"]}]}, "unknown-name", "$.earlier[0].mended[0]"),
            ({"readings": {"hold": {"begin": 1}}}, "unknown-name", "$.readings.hold.begin"),
            ({"readings": {"hold": {"start": "50"}}}, "unfit-evidence", "$.readings.hold.start"),
            ({"readings": {"hold": {"start": 50}}}, "unfit-reading", "$.readings"),
            (
                {"answers": [{"finding": "tank", "answer": "plain"}]},
                "unfit-evidence",
                "$.answers[0].finding",
            ),
            (
                {"answers": [SPITS, {**SPITS, "answer": "no"}]},
                "unfit-evidence",
                "$.answers[0].finding",
            ),
            ({"answers": [{"finding": 1, "answer": "no"}]}, "wrong-shape", "$.answers[0].finding"),
            ({"earlier": [{"mended": []}]}, "wrong-shape", "$.earlier[0].mended"),
            ({"earlier": [{"mended": ["x"]}] * 9}, "wrong-shape", "$.earlier"),
            ({"who": "plumber"}, "wrong-shape", "$.who"),
            ({"systme": "x"}, "wrong-shape", "$"),
        ],
    )
    def test_wrong_evidence_is_told_with_its_place(self, browser, fields, kind, place):
        told = refusal(asked(browser, **fields))
        assert (told.kind, told.place) == (kind, place)


class TestEvents:
    def test_an_entry_counts_once_however_often_it_is_sent(self, browser):
        anna, _ = both(OPENED)
        anna.writes(e.Told("air-at-taps", "yes"))
        first, again = sent(browser, *anna.seen).json(), sent(browser, *anna.seen).json()
        assert first["new"] == [entry.id for entry in anna.seen]
        assert again["new"] == []
        assert first["logs"] == again["logs"]
        case = browser.get(f"/api/v1/cases/{anna.seen[0].log}").json()
        assert case["events"] == len(case["log"]) == 2

    def test_what_two_wrote_apart_merges_and_differences_are_shown(self, browser, commanded):
        anna, berta = both(OPENED)
        anna.writes(e.Told("air-at-taps", "yes"))
        berta.writes(e.Joined(), e.Told("air-at-taps", "no"))
        assert sent(browser, *berta.seen).json()["logs"][0]["conflicts"] == []
        (log,) = sent(browser, *anna.seen).json()["logs"]
        (differing,) = log["conflicts"]
        assert (differing["about"], differing["round"]) == ("air-at-taps", 1)
        assert {each["author"] for each in differing["said"]} == {"anna@phone", "berta@phone"}
        case = browser.get(f"/api/v1/cases/{log['id']}").json()
        assert case == commanded("cases", "show", log["id"])
        assert case["events"] == len(together(anna, berta))
        assert case["conflicts"] == log["conflicts"]

    def test_what_comes_late_is_missing_until_it_comes(self, browser):
        anna, _ = both(OPENED)
        anna.writes(e.Told("air-at-taps", "yes"), e.Told("no-water", "no"))
        first, second, third = anna.seen
        assert sent(browser, first, third).json()["logs"][0]["missing"] == 1
        assert sent(browser, second).json()["logs"][0]["missing"] == 0

    def test_a_cursor_goes_on_where_it_was(self, browser):
        anna, _ = both(OPENED)
        log = anna.seen[0].log
        sent(browser, *anna.seen)
        first = browser.get("/api/v1/events", params={"log": log}).json()
        anna.writes(e.Told("air-at-taps", "yes"))
        sent(browser, *anna.seen)
        later = browser.get("/api/v1/events", params={"log": log, "since": first["cursor"]}).json()
        assert msgspec.convert(later["entries"], tuple[Entry, ...]) == anna.seen[1:]
        rest = browser.get("/api/v1/events", params={"log": log, "since": later["cursor"]}).json()
        assert (rest["entries"], rest["cursor"]) == ([], later["cursor"])
        (listed,) = browser.get("/api/v1/cases").json()["cases"]
        assert listed["events"] == later["cursor"]

    def test_a_site_is_taken_in_as_well(self, browser):
        anna, berta = both(e.SiteBegun(CISTERN))
        anna.writes(e.Named("Mill at Orquay"))
        berta.writes(e.Named("Orquay Mill"))
        (log,) = sent(browser, *together(anna, berta)).json()["logs"]
        assert [each["about"] for each in log["conflicts"]] == ["name"]
        assert refusal(browser.get(f"/api/v1/cases/{log['id']}")).kind == "no-such-case"

    def test_a_system_that_is_not_known_here_is_kept_all_the_same(self, browser):
        anna, _ = both(e.Opened("windmill"))
        (log,) = sent(browser, *anna.seen).json()["logs"]
        assert not log["understood"]
        assert refusal(browser.get(f"/api/v1/cases/{log['id']}")).kind == "other-knowledge"
        assert browser.get("/api/v1/events", params={"log": log["id"]}).status_code == 200

    def test_other_content_under_a_kept_id_is_refused_whole(self, browser):
        anna, _ = both(OPENED)
        sent(browser, *anna.seen)
        forged = msgspec.structs.replace(anna.seen[0], author="eve@phone")
        new = anna.writes(e.Told("air-at-taps", "yes"))
        assert refusal(sent(browser, new, forged)).kind == "kept-otherwise"
        assert len(browser.get(f"/api/v1/cases/{forged.log}").json()["log"]) == 1

    def test_what_was_deleted_does_not_come_back(self, browser):
        anna, _ = both(OPENED)
        sent(browser, *anna.seen)
        store = browser.app.state.office.store
        purge(store, named(store, anna.seen[0].log), "2026-03-05T00:00:00.000Z", whole=True)
        assert refusal(sent(browser, *anna.seen)).kind == "deleted"

    @pytest.mark.parametrize(
        ("change", "kind", "place"),
        [
            ({"id": "no id"}, "unfit-entry", "$.entries[0]"),
            ({"at": "2026-13-41T25:61:61Z"}, "unfit-entry", "$.entries[0]"),
            ({"author": ""}, "unfit-entry", "$.entries[0]"),
            ({"number": 0}, "unfit-entry", "$.entries[0]"),
            ({"event": {"what": "danced"}}, "wrong-shape", "$.entries[0].event.what"),
            ({"event": {"what": "told"}}, "wrong-shape", "$.entries[0].event"),
            ({"mood": "good"}, "wrong-shape", "$.entries[0]"),
        ],
    )
    def test_what_is_no_entry_is_told(self, browser, change, kind, place):
        anna, _ = both(OPENED)
        entry = {**msgspec.to_builtins(anna.seen[0]), **change}
        told = refusal(browser.post("/api/v1/events", json={"entries": [entry]}))
        assert (told.kind, told.place) == (kind, place)
        assert browser.get("/api/v1/cases", params={"state": "all"}).json()["cases"] == []

    def test_one_id_for_two_entries_is_told(self, browser):
        anna, _ = both(OPENED)
        other = msgspec.structs.replace(anna.seen[0], log="another")
        assert refusal(sent(browser, anna.seen[0], other)).place == "$.entries[1]"


class TestCases:
    @pytest.fixture
    def kept(self, browser):
        """Three cases, the last of them closed."""
        cases = [both(OPENED)[0] for _ in range(3)]
        cases[2].writes(e.Ended("no-access"))
        for each in cases:
            sent(browser, *each.seen)
        return [each.seen[0].log for each in cases]

    @pytest.mark.parametrize(
        ("asks", "wanted"),
        [
            ({}, {0, 1}),
            ({"state": "closed"}, {2}),
            ({"state": "all"}, {0, 1, 2}),
            ({"ended": "no-access"}, {2}),
            ({"ended": "mended"}, set()),
            ({"state": "all", "system": "cistern-booster"}, set()),
            ({"state": "all", "author": "anna"}, {0, 1, 2}),
            ({"state": "all", "author": "berta"}, set()),
            ({"site": "site-h3k9mp"}, set()),
        ],
    )
    def test_they_are_listed_by_what_is_asked(self, browser, kept, asks, wanted):
        found = browser.get("/api/v1/cases", params=asks).json()["cases"]
        assert {kept.index(each["id"]) for each in found} == wanted

    def test_a_part_of_the_list(self, browser, kept):
        pages = [
            browser.get("/api/v1/cases", params={"state": "all", "limit": 2, "skip": skip}).json()
            for skip in (0, 2)
        ]
        assert [page["more"] for page in pages] == [True, False]
        assert {each["id"] for page in pages for each in page["cases"]} == set(kept)

    def test_list_and_report_are_those_of_the_command_line(self, browser, kept, commanded):
        listed = browser.get("/api/v1/cases").json()
        assert listed["cases"] == commanded("cases", "list")["cases"]
        for copy in ("customer", "office"):
            report = browser.get(f"/api/v1/cases/{kept[2]}/report", params={"for": copy}).json()
            theirs = commanded("report", kept[2], "--for", copy)
            for told in (report, theirs):
                told["facts"].pop("Knowledge", None)
            assert report == theirs

    @pytest.mark.parametrize(
        ("form", "media", "begins"),
        [
            ("md", "text/markdown; charset=utf-8", b"# Service report"),
            ("html", "text/html; charset=utf-8", b"<!DOCTYPE html>"),
            ("pdf", "application/pdf", b"%PDF"),
        ],
    )
    def test_a_report_to_hand_over(self, browser, kept, form, media, begins):
        answer = browser.get(f"/api/v1/cases/{kept[0]}/report", params={"format": form})
        assert answer.headers["content-type"] == media
        assert answer.content.startswith(begins)


class TestSystems:
    def test_they_are_those_of_the_command_line(self, browser, commanded):
        theirs = commanded("systems")["systems"]
        assert browser.get("/api/v1/systems").json()["systems"] == theirs
        for each in theirs:
            told = browser.get(f"/api/v1/systems/{each['id']}").json()
            assert told == commanded("systems", each["id"])


class TestRefusals:
    @pytest.mark.parametrize(
        ("method", "path", "kind"),
        [
            ("GET", "/nowhere", "nothing-there"),
            ("GET", "/", "nothing-there"),
            ("GET", "/problems/boredom", "nothing-there"),
            ("GET", "/systems/pump", "no-such-system"),
            ("GET", "/cases/20260304-0731-none", "no-such-case"),
            ("GET", "/cases/20260304-0731-none/report", "no-such-case"),
            ("GET", "/events?log=20260304-0731-none", "no-such-case"),
            ("GET", "/events", "bad-parameter"),
            ("GET", "/events?log=a&since=-1", "bad-parameter"),
            ("GET", "/events?log=a&since=99999999999999999999", "bad-parameter"),
            ("GET", "/cases?state=lost", "bad-parameter"),
            ("GET", "/cases?ended=boredom", "bad-parameter"),
            ("GET", "/cases?limit=1&limit=2", "bad-parameter"),
            ("GET", "/cases?author=%00", "bad-parameter"),
            ("GET", "/cases?colour=red", "bad-parameter"),
            ("GET", "/systems?colour=red", "bad-parameter"),
            ("POST", "/advice?system=x", "bad-parameter"),
            ("DELETE", "/cases", "not-done-here"),
            ("PUT", "/events", "not-done-here"),
            ("GET", "/advice", "not-done-here"),
            ("POST", "/openapi.json", "not-done-here"),
        ],
    )
    def test_an_address_that_is_not_understood(self, browser, method, path, kind):
        answer = browser.request(method, f"/api/v1{path}")
        assert refusal(answer).kind == kind
        assert answer.status_code != 405 or answer.headers["allow"]

    @pytest.mark.parametrize("call", [c for c in CALLS if c.method == "POST"], ids=lambda c: c.name)
    @pytest.mark.parametrize(
        ("headers", "body", "kind"),
        [
            ({"content-type": "application/x-www-form-urlencoded"}, b"{}", "not-sent-as-json"),
            ({"content-type": "text/plain"}, b"{}", "not-sent-as-json"),
            ({"content-type": "application/json; charset=latin-1"}, b"{}", "not-sent-as-json"),
            ({}, b"{}", "not-sent-as-json"),
            ({"content-type": "application/json"}, b"", "not-json"),
            ({"content-type": "application/json"}, b"{", "not-json"),
            ({"content-type": "Application/JSON; charset=UTF-8"}, b"[]", "wrong-shape"),
            ({"content-type": "application/json"}, b"null", "wrong-shape"),
            ({"content-type": "application/json"}, b" " * 65_537, "too-long"),
            ({"content-type": "application/json", "origin": "http://a.b"}, b"{}", "other-origin"),
            (
                {"content-type": "application/json", "sec-fetch-site": "cross-site"},
                b"{}",
                "other-origin",
            ),
            ({"content-type": "application/json", "host": "pump.example"}, b"{}", "other-host"),
        ],
    )
    def test_a_body_that_is_not_let_in(self, browser, call, headers, body, kind):
        answer = browser.post(f"/api/v1{call.path}", content=body, headers=headers)
        assert refusal(answer).kind == kind

    @pytest.mark.parametrize(
        "body",
        [b'{"system": "\xff"}', b'{"system": "\\ud800"}', b'{"system": 1e999}', b"{" * 60_000],
    )
    def test_a_body_that_is_hardly_json(self, browser, body):
        headers = {"content-type": "application/json"}
        answer = browser.post("/api/v1/advice", content=body, headers=headers)
        assert refusal(answer).kind in {"not-json", "wrong-shape"}

    def test_a_kind_of_refusal_can_be_looked_up(self, browser):
        for name, kind in KINDS.items():
            told = browser.get(f"/api/v1/problems/{name}").json()
            assert (told["kind"], told["status"]) == (name, kind.status)

    def test_a_fault_of_ours_shows_no_traceback(self, browser, monkeypatch, caplog):
        monkeypatch.setattr("faultnet.web.api.advice.rank", lambda *_: 1 / 0)
        assert refusal(asked(browser)).kind == "fault"
        assert "ZeroDivisionError" in caplog.text

    def test_a_store_that_fails_is_told(self, browser, monkeypatch):
        def fails(*_, **__):
            raise StoreError("cases.db", "the disk is full", "Make room.")

        monkeypatch.setattr(browser.app.state.office.store, "run", fails)
        anna, _ = both(OPENED)
        assert refusal(sent(browser, *anna.seen)).mend == "Make room."
        assert refusal(browser.get("/api/v1/cases")).reason == "The disk is full."


def test_every_example_of_the_document_works(browser):
    for call in CALLS:
        if call.method == "POST":
            assert browser.post(f"/api/v1{call.path}", json=call.example).status_code == 200


def test_answers_that_take_long_let_others_through(browser, monkeypatch):
    reached, let_go = threading.Semaphore(0), threading.Event()

    def held(*_):
        reached.release()
        assert let_go.wait(60)
        raise TooLargeError(2, 1, ())

    monkeypatch.setattr("faultnet.advice.grounds.Grounds.refuse_beyond", held)
    # More than there are threads of either kind: all of those that think are busy, others wait.
    thinking = [threading.Thread(target=asked, args=(browser,)) for _ in range(50)]
    place = browser.post("/new", data={"system": "jet-pump-cistern"}, follow_redirects=False)
    case = place.headers["location"].rpartition("/")[2]
    for thread in thinking:
        thread.start()
    try:
        for _ in range(AT_ONCE):
            assert reached.acquire(timeout=60)
        with ThreadPoolExecutor() as others:
            api = "/api/v1"
            for path in ("/", f"{api}/cases", f"{api}/events?log={case}", f"{api}/cases/{case}"):
                assert others.submit(browser.get, path).result(30).status_code == 200
        assert not reached.acquire(blocking=False)
    finally:
        let_go.set()
        for thread in thinking:
            thread.join(60)


def test_nothing_of_advice_is_kept(browser):
    asked(browser, answers=[SPITS])
    assert browser.get("/api/v1/cases", params={"state": "all"}).json()["cases"] == []
