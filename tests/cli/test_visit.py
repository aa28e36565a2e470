"""The guided visit on pipes and terminals: kept at once, resumed, readable, never a traceback."""

import io
import json
import sqlite3
import subprocess
import sys

import msgspec
import pytest

from faultnet.cases.entry import Writer
from faultnet.cases.events import SiteBegun, Told
from faultnet.cases.store import listing
from faultnet.cases.store.place import FILE, place_of
from faultnet.cases.store.store import Store
from tests.bound import bound_by_permissions
from tests.cli.conftest import ROOT, Ran
from tests.cli.terminal import Terminal

WORLD = ROOT / "tests" / "visit" / "knowledge"
NO_DANGER = "n\ns\n"
"""None of the dangers, layout skipped: the list of what is seen stands next."""

TO_THE_STEPS = (
    ("n", "The installation"),
    ("s", "What is wrong"),
    ("?", "Take along"),
    ("\r", "Best next"),
)
"""Keys to the first step of the small world, each with what it leads to."""


@pytest.fixture
def data(tmp_path, monkeypatch):
    monkeypatch.setenv("FAULTNET_DATA", str(tmp_path / "data"))
    return tmp_path / "data"


@pytest.fixture
def visit(data):
    """Run the command on piped input, by default on the small world."""

    def ran(*arguments, typed="", binary=None):
        words = [sys.executable, "-m", "faultnet", "visit", *map(str, arguments)]
        if "--knowledge" not in arguments:
            words += ["--knowledge", str(WORLD)]
        done = subprocess.run(
            words,
            input=binary if binary is not None else typed.encode(),
            capture_output=True,
            cwd=ROOT,
            check=False,
            timeout=120,
        )
        return Ran(done.returncode, done.stdout.decode(), done.stderr.decode())

    return ran


def cases(data):
    """Return the cases that are kept, each with its events, those that only note left out."""
    if not (data / FILE).exists():
        return {}
    with Store(place_of(None, data)) as store:
        logs = {each.id: store.read(each.id).entries for each in listing.cases(store)}
    return {name: [_fields(e) for e in entries] for name, entries in logs.items()}


def _fields(entry):
    return json.loads(msgspec.json.encode(entry.event))


def kept(data):
    """Return the events of the only case that is kept, what was shown left out."""
    (events,) = cases(data).values()
    return [each for each in events if each["what"] not in {"advice-shown", "danger-met"}]


def the_case(data):
    (name,) = cases(data)
    return name


def test_the_end_of_input_stops_and_keeps(visit, data):
    told = visit("small-pump", typed=f"{NO_DANGER}")
    assert told.code == 0
    assert told.err == ""
    assert "Is any of this so, here and now?" in told.out
    assert "What is wrong? Pick one." in told.out
    assert "Go on with: faultnet visit --resume" in told.out
    assert [event["what"] for event in kept(data)] == ["opened", "denied", "passed"]


def test_nothing_at_all_is_typed(visit, data):
    assert visit("small-pump").code == 0
    assert [event["what"] for event in kept(data)] == ["opened"]


def test_it_is_resumed_where_it_was_stopped(visit, data):
    first = visit("small-pump", typed=f"{NO_DANGER}1\n")
    due = first.out.rpartition("\n\n")[0].splitlines()
    again = visit("--resume", typed="y\n")
    assert again.code == 0
    assert "Going on with" in again.out
    assert due[-3] in again.out  # the same question
    assert kept(data)[-1] == {"what": "told", "about": "no-water", "answer": "yes"}
    assert "So far: No water" in visit("--resume", the_case(data)).out


def test_q_stops(visit, data):
    told = visit("small-pump", typed="q\nn\n")
    assert told.code == 0
    assert len(kept(data)) == 1


def test_a_whole_visit(visit, data):
    walk = [
        NO_DANGER,
        "1\ny\n",  # no water
        "\n",  # that is all
        "\n",  # all of it is here
    ]
    told = visit("small-pump", typed="".join(walk))
    assert "Best next" in told.out
    for _ in range(30):
        due = visit("--resume", "--json").json["turn"]
        if due["kind"] == "leave-safe":
            break
        visit("--resume", typed=f"{_reply(due)}\n")
    told = visit("--resume", typed="d\n")
    assert told.code == 0
    assert "The visit is over" in told.out
    assert "Mended and proved" in told.out
    assert "Kept as" not in told.out
    assert kept(data)[-1] == {"what": "ended", "how": "mended"}
    assert visit("--resume").code == 2


def _reply(due):
    """Answer as a site whose power is off."""
    keys = [each["key"] for each in due["replies"]]
    if due["kind"] == "question":
        mended = due["heading"].startswith("After the repair")
        silent = due["title"] == "Does the motor make no sound?"
        there = silent or due["title"] == "Is this what you see: Power is off?"
        return "y" if there and not mended and "y" in keys else "n" if "n" in keys else "?"
    if due["kind"] == "what-was-wrong":
        return "1"
    return next(key for key in ("d", "y", "") if key in keys)


def test_an_unknown_key_is_told_and_nothing_is_kept(visit, data):
    told = visit("small-pump", typed="zz\n\x1b[A\n")
    assert told.code == 0
    assert "Not a key here: zz" in told.out
    assert len(kept(data)) == 1


def test_input_that_is_no_text(visit, data):
    told = visit("small-pump", binary=b"\xff\xfe\x00\n" * 5 + b"n\n")
    assert told.code == 0
    assert told.err == ""
    assert "\x00" not in told.out
    assert [event["what"] for event in kept(data)] == ["opened", "denied"]


def test_a_damaged_event_loses_only_itself(visit, data):
    visit("small-pump", typed=NO_DANGER)
    with sqlite3.connect(data / FILE) as file:
        file.execute("UPDATE faultnet_entries SET entry = 'damaged' WHERE place = 3")
    file.close()
    told = visit("--resume", typed="1\n")
    assert told.code == 0
    assert "1 event(s) could not be read" in told.out
    assert "The installation" in told.out
    assert visit("--resume").code == 0


def test_a_case_without_a_beginning_is_not_resumed(visit, data):
    entry = Writer("anna@here").entry("20200101-0101-abcde", Told("no-water", "yes"))
    with Store(place_of(None, data)) as store:
        store.append((entry,))
    assert visit("--resume").code == 2
    told = visit("--resume", entry.log)
    assert told.code == 2
    assert "How 20200101-0101-abcde was opened is not known" in told.err


def test_somebody_else_takes_it_up_and_says_so(visit, data, monkeypatch):
    visit("small-pump", typed=NO_DANGER)
    monkeypatch.setenv("FAULTNET_AUTHOR", "Berta")
    visit("--resume", "--who", "qualified", typed="1\ny\n")
    assert [event["what"] for event in kept(data)][3:] == ["joined", "picked", "told"]
    assert kept(data)[3]["who"] == "qualified"
    visit("--resume")
    assert [event["what"] for event in kept(data)].count("joined") == 1


def test_what_is_shown_is_noted_once(visit, data):
    visit("small-pump", typed=f"{NO_DANGER}1\ny\n\nw\n\n")
    visit("--resume", typed="w\n\n")
    (events,) = cases(data).values()
    (shown,) = [event for event in events if event["what"] == "advice-shown"]
    offered = visit("--resume", "--json").json["turn"]["replies"][0]["event"]
    assert shown["step"] in offered.values()
    assert 0.0 < max(shown["causes"].values()) <= 1.0


def test_a_danger_that_stopped_the_work_is_noted_once(visit, data):
    visit("small-pump", typed="1\ny\nno\nno\n")
    (events,) = cases(data).values()
    met = {"what": "danger-met", "finding": "someone-in-pit", "answer": "yes"}
    assert [event for event in events if event["what"] == "danger-met"] == [met]


def test_a_call_back_and_a_site_go_along(visit, data):
    with Store(place_of(None, data)) as store:
        writer = Writer("anna@here")
        site = (writer.begin(SiteBegun("small-pump")),)
        told = writer.entry(site[0].log, Told("check-valve", "foot"), site)
        store.append((*site, told))
    visit("--site", told.log, typed="n\n")
    before = the_case(data)
    assert kept(data)[0]["layout"] == {"check-valve": "foot"}
    visit("--follows", before)
    (opened,) = [events[0] for name, events in cases(data).items() if name != before]
    assert (opened["site"], opened["follows"]) == (told.log, before)
    assert visit("--site", "site-nowhere").code == 2
    assert visit("--follows", "nothing").code == 2


def test_undo_is_kept_as_an_event(visit, data):
    told = visit("small-pump", typed="n\nu\n")
    assert "Taken back: None of these dangers" in told.out
    assert [event["what"] for event in kept(data)] == ["opened", "denied", "undone"]


def test_words_are_typed_and_numbers_too(visit, data):
    walk = f"{NO_DANGER}t\nloses presure\n1\nm\n50 44\n50 44 15\n"
    told = visit("small-pump", typed=walk)
    assert told.code == 0
    assert "3 numbers are needed." in told.out
    assert kept(data)[-1] == {
        "what": "measured",
        "reading": "hold",
        "parts": {"start": 50.0, "end": 44.0, "minutes": 15.0},
    }


def test_a_full_stop_wants_the_word(visit, data):
    told = visit("small-pump", typed="1\ny\nsafe\n")
    assert "STOP" in told.out
    assert "Only the word safe goes on" in told.out
    assert kept(data)[-1] == {"what": "made-safe", "finding": "someone-in-pit"}


def test_the_system_is_asked_where_none_is_named(visit, data):
    told = visit(typed="1\n")
    assert "What stands there?" in told.out
    assert kept(data)[0]["system"] == "small-pump"
    assert visit(typed="").code == 0


@pytest.mark.parametrize(
    "arguments",
    [
        ("small-pomp",),
        ("small-pump", "--resume"),
        ("--resume",),
        ("--resume", "../../etc/passwd"),
        ("--resume", "x", "--site", "y"),
        ("--resume", "nothing"),
        ("--json", "small-pump"),
        ("--who", "nobody"),
    ],
)
def test_what_makes_no_sense_is_refused(visit, data, arguments):
    told = visit(*arguments)
    assert told.code == 2
    assert "Traceback" not in told.err
    assert cases(data) == {}


def test_a_case_that_is_nearly_right(visit, data):
    visit("small-pump")
    name = the_case(data)
    last = "y" if name.endswith("x") else "x"
    told = visit("--resume", f"{name[:-1]}{last}")
    assert told.code == 2
    assert name in told.err


def test_what_is_due_as_json(visit):
    visit("small-pump")
    due = visit("--resume", "--json").json["turn"]
    assert due["kind"] == "dangers"
    assert due["replies"][0]["key"] == "1"
    assert due["replies"][0]["event"]["about"] == "someone-in-pit"


def test_a_folder_that_cannot_be_written(faultnet, data, monkeypatch):
    data.mkdir(parents=True)
    data.chmod(0o500)
    monkeypatch.setenv("FAULTNET_DATA", str(data))
    monkeypatch.setattr("sys.stdin", io.StringIO("n\n"))
    words = ("visit", "small-pump", "--knowledge", WORLD)
    told = bound_by_permissions(lambda: faultnet(*words))
    data.chmod(0o700)
    assert told.code == 1
    assert str(data) in told.err


def test_a_place_where_nothing_can_be_kept(visit, data):
    data.write_text("a file where the folder should be")
    told = visit("small-pump", typed="n\n")
    assert told.code == 1
    assert f"{data / FILE}: {data} is no folder" in told.err
    assert "Traceback" not in told.err


def test_a_pipe_shows_no_colour(visit):
    assert "\x1b" not in visit("small-pump", typed="1\n").out


@pytest.fixture
def terminal(data):
    """Start the command on a terminal of its own."""
    started = []

    def start(*arguments, **options):
        words = ("visit", *arguments, "--knowledge", WORLD)
        started.append(Terminal(*words, **options))
        return started[-1]

    yield start
    for each in started:
        each.kill()


def test_one_key_answers_on_a_terminal(terminal, data):
    screen = terminal("small-pump").wait("n  none of these")
    assert "\x1b[1m" in screen.shown
    screen.press("n").wait("The installation")
    screen.press("s").wait("What is wrong?")
    assert screen.press("q").ended() == 0
    assert [event["what"] for event in kept(data)] == ["opened", "denied", "passed"]


def test_what_another_writes_meanwhile_is_told_and_counts(terminal, data):
    screen = terminal("small-pump").wait("n  none of these")
    with Store(place_of(None, data)) as store:
        (listed,) = listing.cases(store)
        seen = store.read(listed.id).entries
        store.append((Writer("berta@there").entry(listed.id, Told("tingle", "yes"), seen),))
    screen.press("n").wait("STOP")
    assert "berta@there wrote to this case as well: 1 more." in screen.plain


def test_no_color_is_respected_on_a_terminal(terminal):
    screen = terminal("small-pump", NO_COLOR="1").wait("n  none of these")
    assert "\x1b[1m" not in screen.shown
    assert "\x1b[2m" not in screen.shown


def test_interrupting_keeps_all_and_says_so(terminal, data):
    screen = terminal("small-pump").wait("n  none of these")
    screen.press("n").wait("The installation")
    screen.press("\x03")
    assert screen.ended() == 130
    assert "Kept as" in screen.plain
    assert "Traceback" not in screen.plain
    assert [event["what"] for event in kept(data)] == ["opened", "denied"]


def test_many_keys_at_once_answer_nothing(terminal, data):
    screen = terminal("small-pump").wait("n  none of these")
    screen.press("2").wait("Nothing goes on until")
    screen.press("safe\n").wait("n  none of these")
    screen.press("nsss").wait("Not a key here")
    assert kept(data)[-1] == {"what": "made-safe", "finding": "tingle"}


def test_enter_behind_a_key_does_no_harm(terminal, data):
    screen = terminal("small-pump").wait("n  none of these")
    screen.press("n\n").wait("The installation")
    assert kept(data)[-1]["what"] == "denied"


@pytest.mark.parametrize(("columns", "rows"), [(40, 20), (80, 24)])
def test_it_fits_the_terminal(terminal, columns, rows):
    screen = terminal("small-pump", columns=columns, rows=rows).wait("n  none of these")
    for keys, text in (("n", "The installation"), ("s", "What is wrong"), ("?", "Take along")):
        lines = screen.plain.splitlines()
        assert max(map(len, lines)) <= columns
        assert len(lines) <= rows
        screen.press(keys).wait(text)
    assert max(map(len, screen.plain.splitlines())) <= columns


BEGIN_WALK = f"{NO_DANGER}?\n\nh\n2\nw\n"
"""From the best next step to the first step of the second procedure."""


def test_a_procedure_is_walked_and_its_numbers_kept(visit, data):
    told = visit("small-pump", typed=f"{BEGIN_WALK}\nm\n50\nt\n\nm\n44 15\n\n")
    assert told.code == 0
    assert "Read the gauge twice: step 5 of 5" in told.out
    assert "Timer: 15:00 left." in told.out
    walked = [event for event in kept(data) if event["what"] not in {"opened", "denied", "passed"}]
    assert [event["what"] for event in walked] == [
        "procedure-begun",
        "procedure-step-done",
        "part-read",
        "timer-started",
        "procedure-step-done",
        "measured",
        "procedure-step-done",
    ]
    assert walked[5]["parts"] == {"start": 50.0, "end": 44.0, "minutes": 15.0}


def test_a_procedure_goes_on_at_its_step_with_its_timer(visit, data):
    visit("small-pump", typed=f"{BEGIN_WALK}\n\nt\n")
    due = visit("--resume", "--json").json["turn"]
    assert due["heading"] == "Read the gauge twice: step 3 of 5"
    again = visit("--resume", "--json").json["turn"]
    assert again["until"] == due["until"] > 0.0


def test_a_procedure_is_stopped_or_left_with_a_reason(visit, data):
    told = visit("small-pump", typed=f"{BEGIN_WALK}x\n\nh\n2\nw\nl\nrain came\n")
    assert "It ends here" in told.out
    assert "Noted: Left: Read the gauge twice, step 1: rain came" in told.out
    whats = [event["what"] for event in kept(data)][5:]
    assert whats == [
        "procedure-begun",
        "procedure-stopped",
        "procedure-left",
        "procedure-begun",
        "procedure-left",
    ]


@pytest.mark.parametrize(("columns", "rows"), [(40, 20), (80, 24)])
def test_the_timer_counts_down_and_outlives_a_kill(terminal, data, columns, rows):
    screen = terminal("small-pump", columns=columns, rows=rows).wait("n  none of these")
    for key, wanted in TO_THE_STEPS:
        screen.press(key).wait(wanted)
    screen.press("h").wait("Which one?")
    screen.press("2").wait("walk it", "more")
    if "more" in screen.plain:
        screen.press(" ").wait("walk it")
    screen.press("w").wait("step 1 of 5")
    screen.press("\r").wait("step 2 of 5")
    screen.press("\r").wait("step 3 of 5")
    lines = screen.plain.splitlines()
    assert max(map(len, lines)) <= columns
    assert len(lines) <= rows
    screen.press("t").wait("15:00 left", "14:59 left").wait("14:57 left")
    screen.kill()
    again = terminal("--resume", columns=columns, rows=rows).wait("step 3 of 5")
    again.wait("14:5", "14:4", "14:3")
    again.press("\r").wait("step 4 of 5")
    assert again.press("q").ended() == 0
    assert kept(data)[-1]["what"] == "procedure-step-done"


def test_interrupting_a_timer_keeps_all(terminal, data):
    screen = terminal("small-pump").wait("n  none of these")
    for key, wanted in TO_THE_STEPS:
        screen.press(key).wait(wanted)
    for key, wanted in (("h", "Which one?"), ("2", "walk it"), ("w", "step 1 of 5")):
        screen.press(key).wait(wanted)
    screen.press("\r").wait("step 2 of 5")
    screen.press("\r").wait("step 3 of 5")
    screen.press("t").wait("14:58 left")
    screen.press("\x03")
    assert screen.ended() == 130
    assert "Traceback" not in screen.plain
    assert kept(data)[-1]["what"] == "timer-started"


@pytest.mark.parametrize("columns", [40, 80])
def test_the_shipped_hold_test_is_walked_at_any_width(visit, data, monkeypatch, columns):
    monkeypatch.setenv("COLUMNS", str(columns))
    shipped = ("jet-pump-cistern", "--knowledge", ROOT / "knowledge")
    visit(*shipped, typed="n\ns\ns\n?\n\n")
    due = visit("--resume", "--knowledge", ROOT / "knowledge", typed="h\n").out
    (key,) = [
        line.split()[0] for line in due.splitlines() if line.endswith("Hold test, step by step")
    ]
    walk = f"h\n{key}\nw\n\n\n\nm\n50\n\nm\n44 15\n"
    told = visit("--resume", "--knowledge", ROOT / "knowledge", typed=walk)
    screens = told.out.partition("Kept as")[0].splitlines()[2:]
    assert max(map(len, screens)) <= columns
    assert kept(data)[-1] == {
        "what": "measured",
        "reading": "hold",
        "parts": {"start": 50.0, "end": 44.0, "minutes": 15.0},
    }
