"""The guided call on pipes and terminals: kept at once, resumed, readable, never a traceback."""

import json
import subprocess
import sys

import pytest

from faultnet.cases.store import listing
from faultnet.cases.store.place import FILE, place_of
from faultnet.cases.store.store import Store
from tests.cli.conftest import CISTERN, ROOT, Ran
from tests.cli.terminal import Terminal

NO_DANGER = "n\nn\nn\nn\nn\n"
"""No danger, nobody in particular, not at the pump: the caller's own words are due next."""

NO_WATER = f"{NO_DANGER}no water\n1\n\ne\n"
"""No water, and enough asked: the call sheet is due next."""

SHEET = "Mill at Orquay\n0555 0101\nWeir Lane 1\n\n4\n600\n35\n"


@pytest.fixture
def data(tmp_path, monkeypatch):
    monkeypatch.setenv("FAULTNET_DATA", str(tmp_path / "data"))
    return tmp_path / "data"


@pytest.fixture
def run(data):
    """Run a command on piped input."""

    def ran(command, *arguments, typed=""):
        words = [sys.executable, "-m", "faultnet", command, *map(str, arguments)]
        given = typed if isinstance(typed, bytes) else typed.encode()
        done = subprocess.run(
            words, input=given, capture_output=True, cwd=ROOT, check=False, timeout=300
        )
        return Ran(done.returncode, done.stdout.decode(), done.stderr.decode())

    return ran


def logs(data, kind=listing.cases):
    """Return the events of cases or sites, by id."""
    with Store(place_of(None, data)) as store:
        found = {each.id: store.read(each.id).entries for each in kind(store)}
    return {name: [entry.event for entry in entries] for name, entries in found.items()}


def test_the_end_of_input_hangs_up_and_keeps(run, data):
    told = run("call", CISTERN, typed=NO_DANGER)
    assert (told.code, told.err) == (0, "")
    assert "Danger first, question 1 of 3" in told.out
    assert "What is wrong with the water?" in told.out
    assert "Go on with: faultnet call --resume" in told.out
    (events,) = logs(data).values()
    assert (events[0].speaker, events[0].who) == ("caller", "caller")


def test_it_is_resumed_where_it_was_left(run):
    run("call", CISTERN, typed=NO_DANGER)
    again = run("call", "--resume", typed="no water\n")
    assert "Going on with" in again.out
    assert "1  No water at any tap" in again.out
    assert run("call", "--resume", "--json").json["turn"]["kind"] == "seen"


def test_a_call_comes_to_a_forecast_and_goes_on_as_a_visit(run, data):
    told = run("call", CISTERN, typed=NO_WATER + SHEET + "l\n\nw\n\n")
    assert (told.code, told.err) == (0, "")
    for line in (
        "P2 No water: No water at any tap",
        "Water left: 600 gal for 4 people",
        "On site: about",
        "Drive: 35 min.",
        "Trip and first hour: 170 USD (judged).",
        "The usual truck ends it at the first visit:",
        "half of such visits are over by the first figure",
        "Nobody opens the cistern, looks in, leans over the rim or goes in.",
    ):
        assert line in told.out
    (name,) = logs(data)
    at_the_pump = run("visit", "--resume", name, typed="\n")
    assert "Address: Weir Lane 1" in at_the_pump.out
    assert "Is any of this so, here and now?" in at_the_pump.out
    assert "technician" in [getattr(each, "speaker", "") for each in logs(data)[name]]


def test_who_and_where_are_kept_with_a_new_site_once(run, data):
    run("call", CISTERN, typed=NO_WATER + SHEET)
    run("call", "--resume")
    (site,) = logs(data, listing.sites).values()
    assert [type(event).__name__ for event in site] == ["SiteBegun", "Named"]
    assert (site[1].name, site[1].address) == ("Mill at Orquay", "Weir Lane 1")
    (found,) = run("cases", "list", "--json").json["cases"]
    assert found["name"] == "Mill at Orquay"


def test_a_known_site_is_not_asked_who_and_where(run, data):
    run("cases", "sites", "new", CISTERN, "--name", "Mill at Orquay", "-l", "tank=captive-air")
    (site,) = logs(data, listing.sites)
    told = run("call", "--site", site, typed=NO_WATER)
    assert "Who is calling?" not in told.out
    assert "How does one get to the pump?" in told.out


def test_json_tells_what_is_due_and_what_it_comes_to(run):
    run("call", CISTERN, typed=NO_WATER)
    shape = run("call", "--resume", "--json").json
    assert shape["schema_version"]
    assert shape["turn"]["typed"]["what"] == "call-sheet:name"
    outcome = shape["outcome"]
    assert outcome["urgency"]["id"] == "P2"
    assert 0.0 < outcome["causes"][0]["probability"] < 1.0
    assert {"parts", "tools", "people", "arrange", "first_visit", "site", "prices"} <= set(outcome)


def test_a_danger_is_told_with_what_to_say_and_whom_to_send(run):
    told = run("call", CISTERN, typed="2\ne\n\n\n\n\n\n\n\n")
    assert "STOP" in told.out
    assert "Send for: Licensed electrician and the power utility" in told.out
    assert "P0 Danger: Tingle or shock" in told.out


def truck_file(tmp_path, text):
    path = tmp_path / "trucks.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def test_trucks_of_a_file_are_weighed(run, tmp_path):
    path = truck_file(tmp_path, "trucks:\n  north: {hand-tools: 1}\n  south: {pipe-tools: 1}\n")
    run("call", CISTERN, typed=NO_WATER)
    outcome = run("call", "--resume", "--truck", path, "--json").json["outcome"]
    assert {each["truck"] for each in outcome["first_visit"]} == {"north", "south"}


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("trucks: {north: {hand-tool: 1}}\n", 1),
        ("trucks: {}\n", 1),
        ("[\n", 1),
        ("", 1),
    ],
)
def test_a_bad_truck_file_is_told_with_its_place(run, data, tmp_path, text, code):
    told = run("call", CISTERN, "--truck", truck_file(tmp_path, text), typed="n\n")
    assert told.code == code
    assert "trucks.yaml" in told.err
    assert "Traceback" not in told.err
    assert not (data / FILE).exists()


@pytest.mark.parametrize(
    "arguments",
    [
        ("jet-pump-cistrn",),
        ("--resume",),
        ("--resume", "nothing-like-it"),
        (CISTERN, "--json"),
        (CISTERN, "--resume", "k"),
        ("--site", "site-none"),
        (CISTERN, "--truck", "nowhere.yaml"),
    ],
)
def test_what_cannot_be_done_is_refused(run, arguments):
    told = run("call", *arguments)
    assert told.code == 2
    assert told.err or told.json["error"]
    assert "Traceback" not in told.err


def test_a_system_is_asked_for(run, data):
    told = run("call", typed="zz\n1\n")
    assert "A new call" in told.out
    assert "Not a key here: zz" in told.out
    (events,) = logs(data).values()
    assert events[0].speaker == "caller"


def test_input_that_is_no_text(run, data):
    told = run("call", CISTERN, typed=b"\xff\xfe\x00\n" * 3 + NO_DANGER.encode() + b"\xff\x00w\n")
    assert (told.code, told.err) == (0, "")
    assert "\x00" not in told.out


def test_the_call_sheet_is_purged_with_the_customer(run, data):
    run("call", CISTERN, typed=NO_WATER + SHEET)
    (name,) = logs(data)
    run("cases", "close", name, "--how", "declined")
    assert "600 gal" in json.dumps(run("cases", "export", name).json)
    (site,) = logs(data, listing.sites)
    assert run("cases", "purge", "--site", site, "--yes").code == 0
    left = json.dumps(run("cases", "export", name).json)
    assert "600 gal" not in left
    assert "Weir Lane" not in left


@pytest.mark.parametrize(("columns", "rows"), [(40, 20), (80, 24)])
def test_it_fits_a_terminal_and_outlives_a_kill(data, columns, rows):
    screen = Terminal("call", CISTERN, columns=columns, rows=rows)
    try:
        for question in ("1 of 3", "2 of 3", "3 of 3"):
            screen.wait(question)
            if "more" in screen.plain:
                assert len(screen.plain.splitlines()) <= rows
                screen.press(" ")
            screen.wait("none of these")
            lines = screen.plain.splitlines()
            assert max(map(len, lines)) <= columns
            assert len(lines) <= rows, screen.shown
            screen.press("n")
        screen.wait("Who needs water most")
    finally:
        screen.kill()
    again = Terminal("call", "--resume", columns=columns, rows=rows)
    try:
        again.wait("Who needs water most")
        assert again.press("q").ended() == 0
    finally:
        again.kill()
