"""The API behind the gate: a token for each call, by its role, and noted."""

import pytest

from faultnet.accounts import tokens, trail
from faultnet.cases import events as e
from faultnet.cases.entry import Writer
from faultnet.web.api.table import CALLS
from faultnet.web.safe.doors import needed
from tests.web.people import house, office, people

HOME = "/api/v1"
ADVICE = {"system": "jet-pump-cistern", "answers": [{"finding": "no-water", "answer": "yes"}]}


@pytest.fixture
def ask(tmp_path):
    """Ask as a program whose token has a role."""
    with house(tmp_path, beyond=True) as browser:
        people(browser)
        store = office(browser).store

        def asked(role, method, path, **sent):
            _, secret = tokens.make(store, "desk", role, 30, office(browser).clock())
            headers = {"authorization": f"Bearer {secret}"}
            return browser.request(method, f"{HOME}{path}", headers=headers, **sent)

        asked.browser = browser
        yield asked


def sent(entry):
    import msgspec

    return {"entries": [msgspec.to_builtins(entry)]}


def test_without_a_token_no_call_is_answered(ask):
    for call in CALLS:
        path = f"{HOME}{call.path}".replace("{", "").replace("}", "")
        answer = ask.browser.request(call.method, path)
        assert answer.status_code == 401
        assert answer.json()["kind"] == "no-log-in"
    assert ask.browser.get(f"{HOME}/openapi.json").status_code == 401
    assert ask.browser.get(f"{HOME}/nowhere").status_code == 401


def test_a_case_is_sent_looked_at_reported_and_noted(ask):
    entry = Writer("tom@phone").begin(e.Opened("jet-pump-cistern", speaker="technician"))
    assert ask("technician", "POST", "/events", json=sent(entry)).status_code == 200
    for path in ("", "/report"):
        assert ask("dispatcher", "GET", f"/cases/{entry.log}{path}").status_code == 200
    assert ask("senior", "GET", f"/events?log={entry.log}").status_code == 200
    assert ask("senior", "GET", "/cases/none").status_code == 404
    noted = trail.noted(office(ask.browser).store)
    assert [(each.who, each.deed, each.about) for each in reversed(noted)] == [
        ("desk", "case written", entry.log),
        ("desk", "case looked at", entry.log),
        ("desk", "case exported", entry.log),
        ("desk", "case looked at", entry.log),
    ]


def test_read_only_gets_cases_without_the_customer_and_writes_nothing(ask):
    tom = Writer("tom@phone")
    site = tom.begin(e.SiteBegun("jet-pump-cistern"))
    named = tom.entry(site.log, e.Named("Mill at Orquay", "Orquay 3", "0555 0101"), (site,))
    entry = tom.begin(e.Opened("jet-pump-cistern", site=site.log))
    said = tom.entry(entry.log, e.Note("the miller keeps the key"), (entry,))
    office(ask.browser).store.append((site, named, entry, said))
    for path in ("/systems", "/systems/jet-pump-cistern", "/openapi.json", "/problems/may-not"):
        assert ask("read-only", "GET", path).status_code == 200
    assert ask("read-only", "POST", "/advice", json=ADVICE).status_code == 200
    case = f"/cases/{entry.log}"
    told = {}
    for role in ("read-only", "dispatcher"):
        asked = ("/cases", case, f"{case}/report?for=office", f"/events?log={entry.log}")
        answers = [ask(role, "GET", path) for path in (*asked, f"/events?log={site.log}")]
        assert [answer.status_code for answer in answers] == [200] * 5
        told[role] = "".join(answer.text for answer in answers)
    for words in ("Mill at Orquay", "Orquay 3", "0555 0101", "the miller keeps the key"):
        assert words in told["dispatcher"]
        assert words not in told["read-only"]
    assert entry.log in ask("dispatcher", "GET", f"/cases?site={site.log}").text
    assert entry.log not in ask("read-only", "GET", f"/cases?site={site.log}").text
    answer = ask("read-only", "POST", "/events", json=sent(entry))
    assert (answer.status_code, answer.json()["kind"]) == (403, "may-not")


def test_every_call_but_that_which_writes_is_open_to_those_who_only_look():
    asked = {
        (call.method, call.path): needed(
            call.method, f"{HOME}{call.path}".replace("{", "").replace("}", "")
        )
        for call in CALLS
    }
    assert {call: right for call, right in asked.items() if right != "see"} == {
        ("POST", "/events"): "write",
        ("GET", "/board"): "customer",
        ("GET", "/cases/{id}/along"): "customer",
    }
