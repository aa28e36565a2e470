"""What can be asked beside a visit, and what happens to what cannot be answered."""

import json
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from faultnet.advice.subject import make_subject
from faultnet.pocket.talk.answering import ASKS, Talking
from faultnet.visit.counsel import Counsel
from tests.pocket.phone import Phone
from tests.pocket.walker import Asking

ANNA = "anna@0123456789ab"
PUMP = "small-pump"
HEAVY = ("sqlalchemy", "yaml", "platformdirs", "fpdf", "pgmpy", "click", "starlette", "pandas")
LOADED = """
import sys
import faultnet.pocket.talk.answering
print(sorted({name.split(".")[0] for name in sys.modules} & set(sys.argv[1:])))
"""


@pytest.fixture
def phone(ask):
    return Phone(ask, ANNA, PUMP).press("n", "1", "s").pick("No water").press("y", "", "")


def test_nothing_heavy_is_imported():
    done = subprocess.run(
        [sys.executable, "-c", LOADED, *HEAVY],
        capture_output=True,
        text=True,
        cwd=Path(__file__).parents[2],
        check=False,
    )
    assert (done.stdout.strip(), done.returncode) == ("[]", 0), done.stderr


def test_about_tells_the_versions_and_the_systems(ask, small):
    about = ask("about")
    assert about["schema_version"] == 1
    assert about["knowledge"] == small.version
    assert [each["id"] for each in about["systems"]] == [PUMP]


def test_what_happened_is_told_by_rounds(phone):
    phone.press("y")
    first, second = phone.ask("history", **phone.given())["rounds"]
    assert first["title"] == "At first"
    assert "No water: yes" in [line["text"] for line in first["lines"]]
    assert second["title"] == "After: Restore the power"


def test_causes_are_told_with_what_speaks_for_and_against_them(phone):
    told = phone.ask("causes", **phone.given())
    by_id = {cause["id"]: cause for cause in told["causes"]}
    assert by_id["valve-leaks"]["signs"] == ["No water"]
    chances = [cause["probability"] for cause in told["causes"]]
    assert chances == sorted(chances, reverse=True)
    assert not told["hidden"]


def test_a_report_is_a_page_by_itself(phone):
    html = phone.ask("report", **phone.given(), audience="office")["html"]
    assert html.startswith("<!DOCTYPE html>")
    assert "Service report, office copy" in html


def test_a_case_goes_into_a_file_and_comes_out_of_it(phone):
    written = phone.ask("casefile", entries=phone.entries)
    opened = phone.ask("opened", **written)
    assert opened["log"] == phone.shown["case"] == written["name"].removesuffix(".json")
    assert opened["entries"] == phone.entries
    assert opened["site_entries"] == []


def test_a_file_that_is_damaged_or_no_case_is_refused(phone):
    written = phone.ask("casefile", entries=phone.entries)["text"]
    for text in ("", "{}", written[:-40], written.replace("no-water", "no-weather")):
        trouble = phone.ask("opened", name="carried.json", text=text)["trouble"]
        assert trouble["place"] == "carried.json"
        assert trouble["reason"]
        assert trouble["mend"]


def test_cases_are_listed_and_one_that_cannot_be_read_is_told(phone, ask):
    good, bad, none = ask(
        "listed", logs=[{"entries": phone.entries}, {"entries": [{"id": 3}]}, {"entries": []}]
    )
    assert (good["case"], good["system"], good["known"]) == (phone.shown["case"], PUMP, True)
    assert bad["trouble"]["place"] == "$.logs[1].entries[0]"
    assert none["trouble"]["place"] == "$.logs[2].entries"


def test_entries_that_cannot_be_read_are_told_and_the_case_goes_on(phone):
    newer = {**phone.entries[3], "id": "newer", "event": {"what": "of-tomorrow"}}
    damaged = {**phone.entries[4], "id": "damaged", "at": "yesterday"}
    other = {**phone.entries[4], "id": "other", "log": "20200101-0000-abcde"}
    given = phone.given()
    given["entries"] = [*phone.entries, newer, damaged, other]
    shown = phone.ask("show", **given)
    assert shown["turn"] == phone.turn
    number = len(phone.entries)
    places = [each["place"] for each in shown["unread"]]
    assert places == [f"$.entries[{n}]" for n in (number, number + 1, number + 2)]
    assert all(each["reason"] and each["mend"] for each in shown["unread"])
    assert phone.ask("casefile", entries=given["entries"])["trouble"]["place"] == places[0]


def test_entries_of_other_knowledge_are_left_out_and_counted(phone):
    gone = {**phone.entries[4], "id": "gone", "after": [phone.entries[-1]["id"]], "number": 99}
    gone["event"] = {"what": "told", "about": "no-such-finding", "answer": "yes"}
    missing = {**gone, "id": "gap", "after": ["never-arrived"], "number": 100}
    shown = phone.ask("show", author=ANNA, entries=[*phone.entries, gone, missing])
    assert (shown["unfit"], shown["missing"]) == (2, 1)


@pytest.mark.parametrize(
    ("name", "given", "place"),
    [
        ("sing", {}, "ask"),
        ("show", {}, "$"),
        ("show", {"author": ANNA}, "$"),
        ("show", {"author": "", "entries": []}, "$.author"),
        ("show", {"author": ANNA, "entries": []}, "$.entries"),
        ("show", {"author": ANNA, "entries": "none"}, "$.entries"),
        ("show", {"author": ANNA, "entries": [1]}, "$.entries[0]"),
        ("reply", {"author": ANNA, "entries": []}, "$"),
        ("begin", {"author": ANNA, "system": "no-such-pump"}, "$.system"),
        ("begin", {"author": 3}, "$.author"),
        ("report", {"author": ANNA, "entries": [], "audience": "press"}, "$.audience"),
        ("rank", {"system": "no-such-pump", "evidence": {}}, "$.system"),
        ("next", {"system": PUMP, "evidence": {}, "who": "cat"}, "$.who"),
        (
            "rank",
            {"system": PUMP, "evidence": {"answers": [{"finding": "x", "answer": "yes"}]}},
            "$.evidence",
        ),
        (
            "rank",
            {"system": PUMP, "evidence": {"answers": [{"finding": "no-water", "answer": "x"}]}},
            "$.evidence",
        ),
    ],
)
def test_what_cannot_be_answered_is_told(ask, name, given, place):
    trouble = ask(name, **given)["trouble"]
    assert trouble["place"] == place
    assert trouble["reason"].endswith(".")
    assert trouble["mend"]


def test_a_case_about_another_system_is_told(phone):
    opened = {**phone.entries[0], "event": {"what": "opened", "system": "hand-pump"}}
    trouble = phone.ask("show", author=ANNA, entries=[opened])["trouble"]
    assert "hand-pump" in trouble["reason"]


@pytest.mark.parametrize("text", ["", "{", "[]", "null", "\ud800", "[" * 100_000, '{"a": NaN}'])
def test_what_is_no_json_is_told(small, text):
    answer = json.loads(Talking(small).answer("show", text))
    assert answer["trouble"]["reason"]


def test_a_fault_of_ours_is_told_and_not_raised(small, monkeypatch):
    monkeypatch.setattr(Counsel, "ranking", lambda *_: 1 / 0)
    ask = Asking(Talking(small))
    entries = ask("begin", author=ANNA, system=PUMP)["entries"]
    trouble = ask("causes", author=ANNA, entries=entries)["trouble"]
    assert "ZeroDivisionError" in trouble["reason"]


VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(("id", "event", "what", "entries", "x")), inner, max_size=3
        )
    ),
    max_leaves=8,
)
FIELDS = sorted({field for each in ASKS.values() for field in each.given.__struct_fields__})


@settings(
    max_examples=150,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(
    name=st.sampled_from(sorted(ASKS)),
    asked=st.dictionaries(st.sampled_from(FIELDS), VALUES, max_size=6),
)
def test_nothing_that_is_asked_raises_or_is_a_fault(ask, name, asked):
    answer = ask(name, **asked)
    if isinstance(answer, dict) and "trouble" in answer:
        assert answer["trouble"]["place"] != "faultnet", (name, asked, answer)


def test_spoilt_entries_never_raise(phone):
    for number, entry in enumerate(phone.entries):
        for field in (*entry, "event.what"):
            spoilt = json.loads(json.dumps(entry))
            if field == "event.what":
                spoilt["event"]["what"] = ""
            else:
                spoilt[field] = None
            entries = [*phone.entries[:number], spoilt, *phone.entries[number + 1 :]]
            answer = phone.ask("show", author=ANNA, entries=entries)
            trouble = answer.get("trouble") or answer["unread"][0]
            assert trouble["place"].startswith("$.entries")


def test_what_was_foreseen_needs_no_thought_when_it_comes(phone, monkeypatch):
    number, done = 0, False
    while not done:
        done = phone.ask("foresee", **phone.given(), number=number)["done"]
        number += 1
    assert number > 1
    monkeypatch.setattr("faultnet.visit.counsel.rank", lambda *_: 1 / 0)
    monkeypatch.setattr("faultnet.visit.counsel.next_steps", lambda *_, **__: 1 / 0)
    phone.press("y", "?")
    assert phone.turn["title"] == "Does no water come?"
    phone.press("y")
    assert phone.shown["step"]


def test_nothing_is_foreseen_of_a_case_that_is_over(phone):
    phone.press("e").pick("No access").press("", "d")
    assert phone.ask("foresee", **phone.given(), number=0) == {"done": True, "of": 0}


def test_the_subject_of_the_small_world_is_made_once(small):
    talking = Talking(small)
    first = talking.carried.subject(PUMP, "$")
    assert talking.carried.subject(PUMP, "$") is first
    assert first.system == make_subject(small, PUMP).system
